//! What comes out of a judged trial.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Comparison;
use crate::exact::OddsRatio;

/// How the propagules of two treatments stand to each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Design {
    /// One pot, tray or row in a treatment: propagules share it, so there is nothing to judge the difference by.
    Single,
    /// Two or more pots of each treatment.
    Pots,
    /// Two or more blocks with a pot of each treatment.
    Blocks,
    /// Propagules placed singly among each other.
    Pieces,
    /// Treatments cross two or more factors; one factor within the levels of the others.
    Factorial,
}

/// The words for what may be said; there are no others.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Tested and clear, with lost propagules as failures and without them.
    Better,
    /// Pooled over trials: clear enough.
    Likely,
    /// Tested, and not clear.
    CannotTell,
    /// One pot in a treatment.
    SingleUnit,
    /// Several things differ together.
    Confounded,
    /// No trial holds both.
    NeverCompared,
    /// None, or all, in every stratum.
    NothingToSee,
    /// What is said depends on what became of lost propagules.
    DependsOnLost,
    /// Not counted yet.
    Pending,
}

impl Verdict {
    /// The word as in JSON.
    pub fn word(self) -> &'static str {
        match self {
            Self::Better => "better",
            Self::Likely => "likely",
            Self::CannotTell => "cannot_tell",
            Self::SingleUnit => "single_unit",
            Self::Confounded => "confounded",
            Self::NeverCompared => "never_compared",
            Self::NothingToSee => "nothing_to_see",
            Self::DependsOnLost => "depends_on_lost",
            Self::Pending => "pending",
        }
    }
}

/// Why a verdict is as it is.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Reason {
    /// Clear in both readings and among all that the trial asks.
    Clear,
    /// The difference is within what chance alone brings.
    WithinChance,
    /// Propagules by themselves would be clear, but pots (or blocks) of one treatment differ too much.
    PotsDisagree,
    /// Propagules by themselves would be clear, but there are too few pots to know how much pots differ.
    FewPots,
    /// Clear by itself, but not among the comparisons of the family.
    OneOfSeveral,
    /// One pot, tray or row in a treatment.
    OneUnit,
    /// What always went together, by name.
    Together(Vec<String>),
    /// Nobody compares people: counts only.
    PeopleAreNotCompared,
    /// Nothing succeeded in either treatment.
    NoneSucceeded,
    /// Everything succeeded in both treatments.
    AllSucceeded,
    /// None or all within each stratum, though not in all of them.
    AlikeInEachStratum,
    /// Clear with lost propagules as failures, not without them.
    ClearWithLostOnly,
    /// Clear without the lost propagules, not with them as failures.
    ClearWithoutLostOnly,
    /// The two readings name different treatments.
    LostTurnItRound,
    /// Units that are not counted yet, by name.
    NotCounted(Vec<String>),
}

/// One side of a comparison.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Side {
    /// Label of the treatment, or the level of the factor.
    pub label: String,
    /// Places of the treatments in the trial.
    pub arms: Vec<usize>,
}

/// One reading of a pair: lost propagules as failures, or left out.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// All its numbers.
    pub comparison: Comparison,
    /// p after Holm's correction over the family; `None` outside it.
    pub p_holm: Option<f64>,
    /// What it says by itself, after Holm's correction.
    pub verdict: Verdict,
}

/// Odds ratio of a factor within one level of the others.
#[derive(Clone, Debug, PartialEq)]
pub struct Within {
    /// The levels of the other factors.
    pub stratum: String,
    /// Odds ratio, as if every propagule were independent; `None` where that stratum says nothing.
    pub odds_ratio: Option<OddsRatio>,
}

/// What may be said of one pair.
#[derive(Clone, Debug, PartialEq)]
pub struct PairVerdict {
    /// The first side; in the family of a control the treated one.
    pub first: Side,
    /// The second side; the control in its family.
    pub second: Side,
    /// The one thing that differs, where it is one.
    pub factor: Option<String>,
    /// Names of all that differs.
    pub differs: Vec<String>,
    /// Strata that hold both sides: blocks, people or stock plants.
    pub blocks: usize,
    /// Strata that hold only one side, left out.
    pub blocks_left_out: usize,
    /// Lost propagules as failures; `None` where the pair is not counted yet.
    pub reading: Option<Reading>,
    /// Lost propagules left out; `None` where none were lost.
    pub lost_left_out: Option<Reading>,
    /// Factorial: the odds ratio within each level of the others.
    pub within: Vec<Within>,
    /// Whether it belongs to the family that is corrected for.
    pub is_in_family: bool,
    /// What may be said.
    pub verdict: Verdict,
    /// Whether the first side is the better one; stated for `Better` only.
    pub first_is_better: Option<bool>,
    /// Why.
    pub reason: Reason,
}

/// What the trial asks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum FamilyKind {
    /// Two treatments: one comparison.
    Pair,
    /// Every other treatment against the control.
    Control,
    /// One main effect a factor.
    Factorial,
    /// All pairs that differ in one thing.
    Pairs,
}

/// The comparisons that a trial asks about, which Holm's correction is over.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Family {
    /// What is asked.
    pub kind: FamilyKind,
    /// How many comparisons are corrected for.
    pub size: usize,
    /// Place of the control treatment, where there is one.
    pub control: Option<usize>,
}

/// A trial's family and what may be said of each of its pairs.
#[derive(Clone, Debug, PartialEq)]
pub struct Judged {
    /// What the trial asks.
    pub family: Family,
    /// Its pairs, and pairs that it would ask about if they could be told apart.
    pub pairs: Vec<PairVerdict>,
}
