//! What is said of one grower's own arm against others.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Wording;

/// Where an own result lies among what growers like this one would see.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Flag {
    /// Between the 2.5 and the 97.5 % point.
    Inside,
    /// Below.
    Low,
    /// Above.
    High,
}

impl Flag {
    /// The flag for a mid-P percentile.
    pub fn from_percentile(mid_p: f64) -> Self {
        if mid_p < 0.025 {
            Self::Low
        } else if mid_p > 0.975 {
            Self::High
        } else {
            Self::Inside
        }
    }
}

/// What a comparison sentence is made of.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct CompareFacts {
    /// Words for the propagules and the outcome.
    pub wording: Wording,
    /// Own propagules started.
    pub own_started: u32,
    /// Own successes.
    pub own_succeeded: u32,
    /// Other growers with the method.
    pub growers: usize,
    /// Whether enough of them are in a climate like this one.
    pub enough: bool,
    /// Whether climates could be compared at all.
    pub by_climate: bool,
    /// Expected successes of the own number started: 2.5 and 97.5 % points.
    pub expected: (usize, usize),
    /// Chance of this few or fewer.
    pub at_most: f64,
    /// Chance of this many or more.
    pub at_least: f64,
    /// Where the own count lies.
    pub flag: Flag,
}
