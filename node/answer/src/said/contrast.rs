//! What is said of which of two methods does better, from trials that held both.

use propagule_analysis::verdict::Scope;
use serde::{Deserialize, Serialize};

pub use propagule_analysis::verdict::Verdict;

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
    /// Probability that the first does better on average: by the pair itself, or among all pairs where that is nearer to even.
    pub prob_first_better: f64,
    /// What may be said.
    pub verdict: Verdict,
    /// How far it reaches.
    pub scope: Option<Scope>,
    /// Whether the first did better, by the trial's own verdict where it is the only one.
    pub first_is_better: Option<bool>,
    /// Trials that were taken to allow for the other pairs, of how many, where not all were.
    #[serde(default)]
    pub from_trials: Option<[usize; 2]>,
}
