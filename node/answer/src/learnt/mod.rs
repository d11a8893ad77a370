//! What other plants teach about one: all trials of one kind of propagation together, fitted once and asked often.
//!
//! Nothing is borrowed between kinds: cuttings, grafts and buds, seed, layers and division are corpora of their own, and so is
//! every count, every way to group methods and everybody whose records count. A fit knows its corpus by a fingerprint, so that
//! the same evidence gives the same answer whenever it was fitted.

mod corpus;
mod fitted;
mod state;
#[cfg(test)]
mod tests;

pub use crate::said::LearntState;
pub use corpus::{Corpora, MOST_TRIALS, Trust};
pub use fitted::{Learnt, NeverTried, Own, Taught};
pub use state::{Learning, LearntAnswer};

use propagule_evidence::{FacetWords, Family};

/// Kinds of propagation between which nothing is borrowed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// Cuttings.
    Cuttings,
    /// Grafts and buds.
    Grafts,
    /// Seed.
    Seed,
    /// Layers and division.
    Layers,
    /// Rows of a table, which name a method and no kind.
    OfTable,
}

impl Kind {
    /// The kind of a method; none where nothing is learnt about it.
    pub fn of(family: Family, facets: &FacetWords) -> Option<Self> {
        match family {
            Family::Cuttings => Some(Self::Cuttings),
            Family::Grafts | Family::Buds => Some(Self::Grafts),
            Family::Seed => Some(Self::Seed),
            Family::Layers | Family::Division => Some(Self::Layers),
            Family::Mixed => facets.contains_key("method").then_some(Self::OfTable),
        }
    }
}
