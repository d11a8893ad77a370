//! What is said of which of two methods does better, from trials that held both.

use propagule_analysis::verdict::Scope;
use serde::{Deserialize, Serialize};

pub use propagule_analysis::verdict::Verdict;

/// Below this probability a model of all methods or facets together does not tell two of them apart.
pub const TELL_APART: f64 = 0.9;

/// What a contrast sentence is made of.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct ContrastFacts<T> {
    /// Facet that differs.
    pub facet: T,
    /// Word of the first side.
    pub first: T,
    /// Word of the second side.
    pub second: T,
    /// Trials that held both.
    pub trials: usize,
    /// Those with a difference to see: not all or none on both sides.
    pub informative: usize,
    /// Trials among them with one replicate an arm.
    pub single_replicate: usize,
    /// Probability that the first does better on average.
    pub prob_first_better: f64,
    /// What may be said.
    pub verdict: Verdict,
    /// How far it reaches.
    pub scope: Option<Scope>,
    /// Whether the first did better, by the trial's own verdict where it is the only one.
    pub first_is_better: Option<bool>,
}
