//! What is said of a facet's words, everything else equal.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::contrast::Verdict;

/// What an effect rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Standing {
    /// The word that the others are held against.
    Reference,
    /// Trials hold both, everything else equal, directly or through other words.
    WithinGrowers,
    /// No trial joins them.
    BetweenGrowers,
    /// Trials join them, but something else always differed as well.
    Aliased,
    /// Nobody tried it: a word of older answers, since all words come from what was tried.
    NeverTried,
}

/// What the sentence about one word of a detail is made of.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct LevelFacts<T> {
    /// The detail, as said.
    pub facet: T,
    /// The word that it is held against.
    pub reference: T,
    /// The word.
    pub level: T,
    /// What the effect rests on.
    pub standing: Standing,
    /// As in the side-by-side comparison of the two words.
    pub verdict: Verdict,
    /// Trials that hold it beside the reference.
    pub side_by_side: usize,
    /// Trials among them with one pot a treatment.
    pub single_replicate: usize,
    /// Log odds ratio: 2.5, 50 and 97.5 % points; none where nothing may be printed.
    pub log_or: Option<[f64; 3]>,
    /// Chance that it does better.
    pub better: Option<f64>,
}
