//! A store that answers no question before it is told to.

use std::collections::{HashMap, HashSet};
use std::sync::{Arc, Condvar, Mutex, PoisonError};

use propagule_files::journal::StoreError;
use propagule_network::admission::AuthorRange;
use propagule_network::spread::Stage;
use propagule_network::store::{Arrival, Intake, Memory, MonthRow, Records};
use propagule_network::sync::LocalSet;
use propagule_protocol::{AuthorKey, Month, RecordId};
use tokio::sync::watch;

/// An empty store that lets nobody see its months while it is shut.
#[derive(Debug)]
pub struct Gated {
    inner: Memory,
    waiting: watch::Sender<usize>,
    is_open: Mutex<bool>,
    opened: Condvar,
}

/// Opens the store, at the latest when this is dropped: a test that fails leaves no thread behind.
#[derive(Debug)]
pub struct Key(Arc<Gated>);

impl Gated {
    /// A shut one, and its key.
    pub fn new() -> (Arc<Self>, Key) {
        let gated = Arc::new(Self {
            inner: Memory::new(1 << 20),
            waiting: watch::Sender::new(0),
            is_open: Mutex::new(false),
            opened: Condvar::new(),
        });
        (Arc::clone(&gated), Key(gated))
    }

    /// Waits until so many have asked.
    pub async fn has_asked(&self, count: usize) {
        let mut waiting = self.waiting.subscribe();
        waiting.wait_for(|asked| *asked >= count).await.expect("the sender is ours");
    }

    /// How many have asked.
    pub fn asked(&self) -> usize {
        *self.waiting.borrow()
    }
}

impl Drop for Key {
    fn drop(&mut self) {
        *self.0.is_open.lock().unwrap_or_else(PoisonError::into_inner) = true;
        self.0.opened.notify_all();
    }
}

impl LocalSet for Gated {
    fn months(&self) -> Vec<MonthRow> {
        self.waiting.send_modify(|asked| *asked += 1);
        let is_open = self.is_open.lock().unwrap_or_else(PoisonError::into_inner);
        drop(self.opened.wait_while(is_open, |is_open| !*is_open));
        self.inner.months()
    }

    ids_of_inner!();
}

impl Records for Gated {
    fn append(&self, batch: &[Arrival]) -> Result<Vec<Intake>, StoreError> {
        self.inner.append(batch)
    }

    outbox_of_inner!();
}
