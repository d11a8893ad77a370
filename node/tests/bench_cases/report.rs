//! What was met and what fell short.

use std::panic::{AssertUnwindSafe, catch_unwind};

/// Counts of cases; each that fell short is printed with its reason.
#[derive(Default)]
pub(crate) struct Report {
    file: String,
    passed: usize,
    failed: usize,
}

impl Report {
    /// Cases of this file follow.
    pub(crate) fn file(&mut self, name: &str) {
        name.clone_into(&mut self.file);
    }

    /// Plays one case: it fails where it panics, and the others go on.
    pub(crate) fn case(&mut self, id: &str, play: impl FnOnce()) {
        match catch_unwind(AssertUnwindSafe(play)) {
            Ok(()) => self.passed += 1,
            Err(why) => {
                self.failed += 1;
                let why = why
                    .downcast_ref::<String>()
                    .cloned()
                    .or_else(|| why.downcast_ref::<&str>().map(|why| (*why).to_owned()))
                    .unwrap_or_default();
                println!("{} {id}: {why}", self.file);
            }
        }
    }

    /// Prints the closing line.
    pub(crate) fn end(&self) -> (usize, usize) {
        println!("bench cases: {} passed, {} failed", self.passed, self.failed);
        (self.passed, self.failed)
    }
}
