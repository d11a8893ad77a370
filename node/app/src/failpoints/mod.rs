//! Places at which a test lets the program fail, to see what a use case then leaves behind.

use std::sync::atomic::{AtomicU64, Ordering};

mod every;
mod requests;

/// Counts the places that a request passes, and fails at one of them.
#[derive(Debug, Default)]
pub(crate) struct Failpoints {
    /// Places until it fails; 0 where it does not.
    left: AtomicU64,
}

impl Failpoints {
    /// Fails at the place that is passed as the so many-th from now on, 1 being the next.
    fn arm(&self, place: u64) {
        self.left.store(place, Ordering::SeqCst);
    }

    /// Fails no more; says whether it still would have.
    fn disarm(&self) -> bool {
        self.left.swap(0, Ordering::SeqCst) > 0
    }

    /// A place is passed.
    pub(crate) fn pass(&self) {
        let before = self.left.fetch_update(Ordering::SeqCst, Ordering::SeqCst, |left| left.checked_sub(1));
        assert!(before != Ok(1), "a failpoint");
    }
}
