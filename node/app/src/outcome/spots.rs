//! Spots, and what is told of the hazards of work.

use std::collections::BTreeMap;

use propagule_bench::dates::When;
use propagule_bench::spot::{Care, CareSpan, Spot};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::said::Said;

/// A bench was described.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct SpotSaved {
    /// As it is described now.
    pub spot: Spot,
}

/// Benches with their logs and the trials on them.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Spots {
    /// By name.
    pub spots: Vec<SpotFacts>,
}

/// A bench with its log and the trials on it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct SpotFacts {
    /// The grower's own name.
    pub name: String,
    /// Detail name → words, as it was described.
    pub facets: BTreeMap<String, String>,
    /// The same as its log makes it today.
    pub today: BTreeMap<String, String>,
    /// Its log, in the order of the days.
    pub care: Vec<Said>,
    /// Codes of what stands on it today.
    pub lots: Vec<String>,
}

/// An entry in the mist, shade, heat and water log of a bench, with its days.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CareDays {
    /// Number of the entry.
    pub entry: u64,
    /// From then on.
    pub from: When,
    /// The last day, where it was given.
    pub until: Option<When>,
    /// What.
    pub given: Care,
}

impl From<CareSpan> for CareDays {
    fn from(span: CareSpan) -> Self {
        let CareSpan { event, care, from, until } = span;
        Self { entry: event, from, until, given: care }
    }
}

/// Trials stand on a bench from a day on.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Stood {
    /// The bench.
    pub spot: String,
    /// The day.
    pub on: When,
    /// Codes of the trials.
    pub lots: Vec<String>,
    /// Numbers of the entries, one a trial.
    pub entries: Vec<u64>,
}

/// A caution is not shown for a season.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct CautionHidden {
    /// Its name.
    pub caution: String,
    /// The year.
    pub hidden_for: u16,
}

/// Every caution.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CautionsKnown {
    /// The nearest hazard first.
    pub cautions: Vec<CautionKnown>,
}

/// A caution.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CautionKnown {
    /// Its name.
    pub id: String,
    /// What it says.
    pub line: Said,
    /// Where that is written; without a source, whether it is common practice or from memory.
    pub source: Said,
    /// Genera and species that it is shown for, where it is one of plants.
    #[serde(default)]
    pub plants: Vec<String>,
    /// The year for which it is hidden.
    pub hidden_for: Option<u16>,
}
