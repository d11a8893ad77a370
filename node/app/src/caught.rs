//! A fault of the program ends the request in which it happens, and nothing else: the journals stay whole, and what is
//! in memory is read from them again.

use std::any::Any;
use std::cell::RefCell;
use std::panic::{self, AssertUnwindSafe};
use std::sync::PoisonError;

use propagule_files::fault::Fault;

use super::{App, key};
use propagule_bench::Bench;

thread_local! {
    /// Where the last fault of this thread was, and what it said.
    static LAST: RefCell<Option<String>> = const { RefCell::new(None) };
}

/// Has faults of the program written to the log instead of a trace on the terminal.
pub fn log_faults() {
    panic::set_hook(Box::new(|info| {
        let at =
            info.location().map_or_else(String::new, |place| format!("{}:{}", place.file(), place.line()));
        let said = said(info.payload());
        tracing::error!(at, said, "a fault in the program");
        LAST.with(|last| last.replace(Some(format!("{at}: {said}"))));
    }));
}

fn said(payload: &(dyn Any + Send)) -> &str {
    let owned = payload.downcast_ref::<String>().map(String::as_str);
    owned.or_else(|| payload.downcast_ref::<&str>().copied()).unwrap_or("no words")
}

/// The fault that a request ends with after the program failed in it; its reference stands in the log beside it.
pub fn internal(payload: &(dyn Any + Send)) -> Fault {
    let mut number = [0; 3];
    // Without random numbers all references are alike, and the log still has their order.
    let _ = getrandom::fill(&mut number);
    let reference = propagule_files::hex::encode(&number);
    let at = LAST.with(RefCell::take).unwrap_or_else(|| said(payload).to_owned());
    tracing::error!(reference, at, "ended a request");
    Fault::internal(reference).with("at", at)
}

/// What `work` gives; where the program fails in it, what is in memory is read again and the fault says what was saved.
pub(super) fn caught<T>(app: &App, work: impl FnOnce() -> Result<T, Fault>) -> Result<T, Fault> {
    // Whoever holds the bench now may save while this waits, so nothing can be said of what this one saved.
    let before = app.bench.try_lock().ok().map(|bench| bench.events());
    panic::catch_unwind(AssertUnwindSafe(work)).unwrap_or_else(|payload| {
        let fault = internal(payload.as_ref());
        let after = app.read_again();
        Err(match (before, after) {
            (Some(before), Some(after)) if before == after => fault.hint_named("nothing-was-saved"),
            _ => fault.hint_named("look-what-was-saved"),
        })
    })
}

impl App {
    /// Reads what is in memory from the journals again, and returns how many events the bench has; none where it
    /// cannot be read, which every later command then says.
    pub(super) fn read_again(&self) -> Option<u64> {
        let mut bench = self.bench.lock().unwrap_or_else(PoisonError::into_inner);
        match Bench::open(self.home.path(), self.home.id(), self.clock) {
            Ok((read, _)) => *bench = read,
            Err(fault) => {
                tracing::error!(%fault, "the bench could not be read again");
                return None;
            }
        }
        self.take_synonyms(bench.synonyms().clone());
        self.gate.admission().backing_changed();
        let events = bench.events();
        drop(bench);
        self.memos.forget();
        match self
            .store
            .read_again()
            .map_err(Fault::from)
            .and_then(|()| key::complete_change(&self.home, &self.store))
        {
            Ok(keys) => *self.keys.write().unwrap_or_else(PoisonError::into_inner) = keys,
            Err(fault) => tracing::error!(%fault, "the records could not be read again"),
        }
        Some(events)
    }
}
