//! A trial as the grower keeps it: exact dates, own labels, notes. All of it is private.

use std::collections::BTreeMap;

use propagule_protocol::Date;
use serde::{Deserialize, Serialize};

/// A trial or lot.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Trial {
    /// The grower's own code.
    pub code: String,
    /// Random name under which its records are published, 32 hex digits.
    pub series: String,
    /// Plant name as typed.
    pub species: String,
    /// Name of the place it belongs to, if one has been given.
    pub place: Option<String>,
    /// When the pieces were put in.
    pub started_on: Date,
    /// Lift day.
    pub lift_on: Option<Date>,
    /// Spring count.
    pub spring_on: Option<Date>,
    /// Final count.
    pub final_on: Option<Date>,
    /// Exact number of stock plants.
    pub stock_plants: Option<u16>,
    /// Whether replicates were placed at random.
    pub is_randomised: bool,
    /// Whether arms were laid out in blocks.
    pub is_blocked: bool,
    /// Whether the scorer did not know the arm.
    pub is_scored_blind: bool,
    /// Private note.
    pub note: Option<String>,
    /// The treatments.
    pub arms: Vec<Arm>,
}

/// One treatment of a trial.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Arm {
    /// Number within the trial, from 1, the same for ever.
    pub number: u8,
    /// The grower's own label.
    pub label: String,
    /// Pieces put in.
    pub started: u16,
    /// Facet name → words.
    pub facets: BTreeMap<String, String>,
    /// Counts at lift.
    pub lift: Option<Counts>,
    /// Counts in spring.
    pub spring: Option<Counts>,
    /// Counts at the end.
    #[serde(rename = "final")]
    pub last: Option<Counts>,
}

/// What was counted at one stage; absent is not counted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Counts {
    /// Still green under the bark, rooted ones included.
    pub alive: Option<u16>,
    /// With callus.
    pub callused: Option<u16>,
    /// With roots.
    pub rooted: Option<u16>,
    /// Growing on.
    pub established: Option<u16>,
    /// Finished by the grower's own grade.
    pub finished: Option<u16>,
    /// Dead.
    pub dead: Option<u16>,
    /// Unscored.
    pub lost: Option<u16>,
    /// Left as finished.
    pub left_as_finished: Option<u16>,
}

/// When something is counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stage {
    /// Lift day.
    Lift,
    /// Spring count.
    Spring,
    /// Final count.
    Final,
}

impl Stage {
    /// All stages in order.
    pub const ALL: [Self; 3] = [Self::Lift, Self::Spring, Self::Final];

    /// The stage's word, as in column names.
    pub fn word(self) -> &'static str {
        match self {
            Self::Lift => "lift",
            Self::Spring => "spring",
            Self::Final => "final",
        }
    }
}

impl Arm {
    /// The counts of a stage.
    pub fn counts(&self, stage: Stage) -> Option<&Counts> {
        match stage {
            Stage::Lift => self.lift.as_ref(),
            Stage::Spring => self.spring.as_ref(),
            Stage::Final => self.last.as_ref(),
        }
    }

    /// Where the counts of a stage stand.
    pub fn counts_mut(&mut self, stage: Stage) -> &mut Option<Counts> {
        match stage {
            Stage::Lift => &mut self.lift,
            Stage::Spring => &mut self.spring,
            Stage::Final => &mut self.last,
        }
    }
}

impl Trial {
    /// The date of a stage.
    pub fn date(&self, stage: Stage) -> Option<Date> {
        match stage {
            Stage::Lift => self.lift_on,
            Stage::Spring => self.spring_on,
            Stage::Final => self.final_on,
        }
    }

    /// Where the date of a stage stands.
    pub fn date_mut(&mut self, stage: Stage) -> &mut Option<Date> {
        match stage {
            Stage::Lift => &mut self.lift_on,
            Stage::Spring => &mut self.spring_on,
            Stage::Final => &mut self.final_on,
        }
    }

    /// The last stage that has been counted in any arm.
    pub fn last_stage(&self) -> Option<Stage> {
        Stage::ALL.into_iter().rev().find(|stage| self.arms.iter().any(|arm| arm.counts(*stage).is_some()))
    }

    /// Pieces put in, all arms together.
    pub fn started(&self) -> u32 {
        self.arms.iter().map(|arm| u32::from(arm.started)).sum()
    }
}

impl Trial {
    /// The series as bytes; `None` where it is damaged.
    pub fn series_bytes(&self) -> Option<[u8; 16]> {
        crate::hex::decode(&self.series)?.try_into().ok()
    }
}
