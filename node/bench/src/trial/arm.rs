//! An arm of a trial: its pieces, its pots and what was counted there.

use std::collections::BTreeMap;

use propagule_protocol::vocab::HomeDetail;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Counts, Stage};
use crate::dates::When;

/// One treatment of a trial.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Arm {
    /// Number within the trial, from 1, the same for ever.
    pub number: u8,
    /// The grower's own label.
    pub label: String,
    /// Propagules started.
    pub started: u16,
    /// Detail name → words.
    pub facets: BTreeMap<String, String>,
    /// What was said of its method that no detail holds, and that stays at home.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub at_home: BTreeMap<HomeDetail, String>,
    /// Pots, trays or rows; none where only the treatment as a whole is counted.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub replicates: Vec<Replicate>,
    /// The stock plant of all its propagules.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stock_plant: Option<String>,
    /// The bench it is to stand on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub spot: Option<String>,
    /// Who did the work.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub operator: Option<String>,
    /// When it was started, where that differs from the trial.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub started_on: Option<When>,
    /// What is different about it that no detail holds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unlisted: Option<String>,
    /// Counts at lift.
    pub lift: Option<Counts>,
    /// Counts at season end or weaning.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub season: Option<Counts>,
    /// Counts in spring.
    pub spring: Option<Counts>,
    /// Counts at the end.
    #[serde(rename = "final")]
    pub last: Option<Counts>,
    /// The lead outcome of each stage by pot; worked out, never stored.
    #[serde(skip)]
    pub replicate_counts: BTreeMap<Stage, Option<Vec<u16>>>,
    /// Lost by each stage, by pot; worked out, never stored.
    #[serde(skip)]
    pub replicate_lost: BTreeMap<Stage, Vec<u16>>,
    /// Later phases, after moves of unrooted survivors; worked out, never stored.
    #[serde(skip)]
    pub phases: Vec<ArmPhase>,
    /// What its propagules have beside details: bench, shares of stock plants, operators, day; worked out, never stored.
    #[serde(skip)]
    pub others: BTreeMap<&'static str, String>,
}

/// From a move of unrooted survivors on.
#[derive(Clone, Debug, PartialEq)]
pub struct ArmPhase {
    /// The day.
    pub on: When,
    /// Where to, in the grower's own words.
    pub spot: String,
    /// Detail name → words from then on.
    pub facets: BTreeMap<String, String>,
}

/// A pot, tray or row: the experimental unit.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Replicate {
    /// The code on its tag, unique within the trial.
    pub code: String,
    /// Propagules started.
    pub started: u16,
    /// The pot or tray that it shares with other treatments: then that is the block.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pot: Option<String>,
    /// Its stock plant.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stock_plant: Option<String>,
    /// Who did the work on it, where that differs within the treatment.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub operator: Option<String>,
}

impl Arm {
    /// The counts of a stage.
    pub fn counts(&self, stage: Stage) -> Option<&Counts> {
        match stage {
            Stage::Lift => self.lift.as_ref(),
            Stage::Season => self.season.as_ref(),
            Stage::Spring => self.spring.as_ref(),
            Stage::Final => self.last.as_ref(),
        }
    }

    /// Where the counts of a stage stand.
    pub fn counts_mut(&mut self, stage: Stage) -> &mut Option<Counts> {
        match stage {
            Stage::Lift => &mut self.lift,
            Stage::Season => &mut self.season,
            Stage::Spring => &mut self.spring,
            Stage::Final => &mut self.last,
        }
    }
}
