//! What is said of what a facet adds, everything else equal.

use propagule_analysis::facets::Standing;
use serde::{Deserialize, Serialize};

use super::contrast::{TELL_APART, Verdict};

/// What the sentence about one word of a facet is made of.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct LevelFacts<T> {
    /// The facet, as said.
    pub facet: T,
    /// The word that it is held against.
    pub reference: T,
    /// The word.
    pub level: T,
    /// What the effect rests on.
    pub standing: Standing,
    /// Trials that hold it beside another word of the facet.
    pub side_by_side: usize,
    /// Trials among them with one replicate an arm.
    pub single_replicate: usize,
    /// Log odds ratio: 2.5, 50 and 97.5 % points.
    pub log_or: [f64; 3],
    /// Chance that it does better.
    pub better: f64,
}

impl<T> LevelFacts<T> {
    /// Only what was compared inside growers' own trials carries a verdict, and one trial with one pot an arm never does.
    pub fn verdict(&self) -> Verdict {
        let certain = self.better.max(1.0 - self.better);
        let only_pots = self.side_by_side <= 1 && self.single_replicate == self.side_by_side;
        if self.standing == Standing::WithinGrowers && certain >= TELL_APART && !only_pots {
            Verdict::Likely
        } else {
            Verdict::CannotTell
        }
    }
}
