//! Learning while a node serves: one thread, one lesson after the other.

use std::sync::{Arc, Weak, mpsc};

use super::{Inner, Lesson, WAITING, everything};
use crate::{App, caught};
use propagule_files::fault::Fault;

impl App {
    /// From now on what takes long is learnt in the background, until the home is closed.
    ///
    /// # Errors
    /// When the system gives no thread.
    pub fn learn_in_background(self: &Arc<Self>) -> Result<(), Fault> {
        let (send, receive) = mpsc::sync_channel(WAITING);
        let (app, lessons) = (Arc::downgrade(self), Arc::clone(&self.lessons.0));
        let thread = std::thread::Builder::new().name("lessons".to_owned());
        thread
            .spawn(move || work(&app, &lessons, &receive))
            .map_err(|error| Fault::internal("lessons").because(error))?;
        // A home is served once; of two threads the second would hear of nothing and end.
        let _ = self.lessons.0.background.set(send);
        Ok(())
    }
}

fn work(app: &Weak<App>, lessons: &Arc<Inner>, asked: &mpsc::Receiver<Lesson>) {
    while let Ok(lesson) = asked.recv() {
        // The home is held only while its records are read, so that it can be closed while a fit runs.
        let Some(open) = app.upgrade() else { return };
        let read = caught::caught(&open, || {
            let stamp = everything::stamp(&open)?;
            Ok((stamp, everything::corpora(&open, &lesson)?))
        });
        let learnt = read.map(|(stamp, corpora)| {
            drop(open);
            let learning = std::panic::AssertUnwindSafe(|| lessons.learn(&lesson, stamp, corpora));
            std::panic::catch_unwind(learning).ok().flatten()
        });
        if let Err(fault) = &learnt {
            tracing::warn!(%fault, "other plants teach nothing now");
        }
        if !matches!(learnt, Ok(Some(_))) {
            lessons.keep(&lesson, None);
        }
    }
}
