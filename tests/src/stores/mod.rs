//! Stores in memory for nodes inside this process: honest ones, and such that lie or keep others waiting.

use std::collections::{HashMap, HashSet};
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

use propagule_files::journal::StoreError;
use propagule_network::admission::AuthorRange;
use propagule_network::spread::{Dice, SeededDice, Stage};
use propagule_network::store::{Arrival, Intake, Memory, MonthRow, MonthSums, Records};
use propagule_network::sync::LocalSet;
use propagule_protocol::{AuthorKey, Month, RecordId};

/// Ids and bytes as the store within has them.
macro_rules! ids_of_inner {
    () => {
        fn ids_in_month(&self, month: Month) -> Result<Vec<RecordId>, StoreError> {
            self.inner.ids_in_month(month)
        }

        fn ids_in_month_within(&self, month: Month, range: AuthorRange) -> Result<Vec<RecordId>, StoreError> {
            self.inner.ids_in_month_within(month, range)
        }

        fn ids_of_author(&self, author: &AuthorKey) -> Result<Vec<RecordId>, StoreError> {
            self.inner.ids_of_author(author)
        }

        fn knows(&self, id: &RecordId) -> Result<bool, StoreError> {
            self.inner.knows(id)
        }

        fn bytes(&self, id: &RecordId) -> Result<Option<Vec<u8>>, StoreError> {
            self.inner.bytes(id)
        }
    };
}

/// The outbox and room of the store within.
macro_rules! outbox_of_inner {
    () => {
        fn own_bytes(&self, id: &RecordId) -> Result<Option<Vec<u8>>, StoreError> {
            self.inner.own_bytes(id)
        }

        fn outbox(&self) -> Result<Vec<(RecordId, Stage)>, StoreError> {
            self.inner.outbox()
        }

        fn note_stage(&self, id: &RecordId, stage: Stage) -> Result<(), StoreError> {
            self.inner.note_stage(id, stage)
        }

        fn mark_handed_on(&self, id: &RecordId) -> Result<(), StoreError> {
            self.inner.mark_handed_on(id)
        }

        fn disk(&self) -> (u64, u64) {
            self.inner.disk()
        }

        fn holds_author(&self, author: &AuthorKey) -> Result<bool, StoreError> {
            self.inner.holds_author(author)
        }

        fn sizes(&self) -> Result<HashMap<AuthorKey, u64>, StoreError> {
            self.inner.sizes()
        }

        fn drop_authors(&self, authors: &HashSet<AuthorKey>) -> Result<(), StoreError> {
            self.inner.drop_authors(authors)
        }
    };
}

mod gated;

pub use gated::Gated;

/// Disk quota of a node that has none to fear.
const QUOTA: u64 = 1 << 30;

/// A store in memory that writes down when each record came.
#[derive(Debug)]
pub struct Watched {
    inner: Memory,
    arrivals: Mutex<HashMap<RecordId, Instant>>,
}

impl Default for Watched {
    fn default() -> Self {
        Self { inner: Memory::new(QUOTA), arrivals: Mutex::default() }
    }
}

impl Watched {
    /// When a record came.
    pub fn arrival(&self, id: &RecordId) -> Option<Instant> {
        self.arrivals.lock().unwrap_or_else(PoisonError::into_inner).get(id).copied()
    }

    /// Number of records in the set.
    pub fn count(&self) -> u64 {
        self.inner.count()
    }
}

impl LocalSet for Watched {
    fn months(&self) -> Vec<MonthRow> {
        self.inner.months()
    }

    ids_of_inner!();
}

impl Records for Watched {
    fn append(&self, batch: &[Arrival]) -> Result<Vec<Intake>, StoreError> {
        let taken = self.inner.append(batch)?;
        let now = Instant::now();
        let mut arrivals = self.arrivals.lock().unwrap_or_else(PoisonError::into_inner);
        let new = batch.iter().zip(&taken).filter(|(_, intake)| **intake == Intake::New);
        new.for_each(|(arrival, _)| {
            arrivals.entry(*arrival.id()).or_insert(now);
        });
        Ok(taken)
    }

    outbox_of_inner!();
}

/// A set that is another one each time it is looked at, and of which nothing can be had.
#[derive(Debug)]
pub struct NeverTheSame {
    inner: Memory,
    dice: Mutex<SeededDice>,
}

impl NeverTheSame {
    /// From a seed.
    pub fn new(seed: u64) -> Self {
        Self { inner: Memory::new(QUOTA), dice: Mutex::new(SeededDice(seed)) }
    }

    fn ids(&self) -> Vec<RecordId> {
        let mut dice = self.dice.lock().unwrap_or_else(PoisonError::into_inner);
        let mut id = || {
            let mut id = [0; 32];
            id.chunks_exact_mut(8).for_each(|part| part.copy_from_slice(&dice.roll().to_be_bytes()));
            RecordId(id)
        };
        (0..5_000).map(|_| id()).collect()
    }
}

impl LocalSet for NeverTheSame {
    fn months(&self) -> Vec<MonthRow> {
        let mut sums = MonthSums::default();
        self.ids().iter().take(50).for_each(|id| {
            sums.add(Month(1_521), id);
        });
        sums.rows()
    }

    fn ids_in_month(&self, _: Month) -> Result<Vec<RecordId>, StoreError> {
        Ok(self.ids())
    }

    fn knows(&self, _: &RecordId) -> Result<bool, StoreError> {
        Ok(true)
    }

    fn bytes(&self, _: &RecordId) -> Result<Option<Vec<u8>>, StoreError> {
        Ok(None)
    }
}

impl Records for NeverTheSame {
    fn append(&self, batch: &[Arrival]) -> Result<Vec<Intake>, StoreError> {
        Ok(vec![Intake::Known; batch.len()])
    }

    outbox_of_inner!();
}

/// A peer that takes very long over every answer.
#[derive(Debug)]
pub struct Slow {
    inner: Memory,
    wait: Duration,
}

impl Slow {
    /// Takes so long.
    pub fn new(wait: Duration) -> Self {
        Self { inner: Memory::new(QUOTA), wait }
    }
}

impl LocalSet for Slow {
    fn months(&self) -> Vec<MonthRow> {
        std::thread::sleep(self.wait);
        vec![MonthRow { month: Month(1_521), count: 9, fingerprint: [1; 16] }]
    }

    fn ids_in_month(&self, _: Month) -> Result<Vec<RecordId>, StoreError> {
        std::thread::sleep(self.wait);
        Ok(Vec::new())
    }

    fn knows(&self, _: &RecordId) -> Result<bool, StoreError> {
        Ok(true)
    }

    fn bytes(&self, _: &RecordId) -> Result<Option<Vec<u8>>, StoreError> {
        Ok(None)
    }
}

impl Records for Slow {
    fn append(&self, batch: &[Arrival]) -> Result<Vec<Intake>, StoreError> {
        Ok(vec![Intake::Known; batch.len()])
    }

    outbox_of_inner!();
}
