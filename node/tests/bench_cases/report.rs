//! What was met and what fell short.

use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};

/// Counts of cases, and of each that fell short why.
#[derive(Default)]
pub(crate) struct Report {
    file: String,
    passed: usize,
    short: Vec<String>,
}

impl Report {
    /// Cases of this file follow.
    pub(crate) fn file(&mut self, name: &str) {
        name.clone_into(&mut self.file);
    }

    /// Plays all cases of a file; where they cannot even be gone through, that is a case that failed.
    pub(crate) fn all(&mut self, play: impl FnOnce(&mut Self)) {
        if let Err(why) = catch_unwind(AssertUnwindSafe(|| play(self))) {
            self.case("file", || resume_unwind(why));
        }
    }

    /// Plays one case: it fails where it panics, and the others go on.
    pub(crate) fn case(&mut self, id: &str, play: impl FnOnce()) {
        match catch_unwind(AssertUnwindSafe(play)) {
            Ok(()) => self.passed += 1,
            Err(why) => {
                let why = why
                    .downcast_ref::<String>()
                    .cloned()
                    .or_else(|| why.downcast_ref::<&str>().map(|why| (*why).to_owned()))
                    .unwrap_or_default();
                self.short.push(format!("{} {id}: {why}", self.file));
            }
        }
    }

    /// How many passed, and how many failed.
    pub(crate) fn counts(&self) -> (usize, usize) {
        (self.passed, self.short.len())
    }

    /// Prints what fell short, and the closing line.
    pub(crate) fn print(&self) {
        for line in &self.short {
            println!("{line}");
        }
        let (passed, failed) = self.counts();
        println!("bench cases: {passed} passed, {failed} failed");
    }
}
