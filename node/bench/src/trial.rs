//! A trial as the grower keeps it: exact dates, own labels, notes. All of it is private.

mod arm;
mod relation;
mod stage;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

pub use arm::{Arm, ArmPhase, Replicate};
pub use relation::Relation;
pub use stage::{Counts, Stage};

use crate::dates::When;

/// A trial or batch.
#[expect(clippy::struct_excessive_bools, reason = "each is a fact of its own, as the journal writes it")]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Trial {
    /// The grower's own code.
    pub code: String,
    /// Random name under which its records are published, 32 hex digits.
    pub series: String,
    /// Plant name, as it is shown and published.
    pub species: String,
    /// Plant name as typed, where that differs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub species_typed: Option<String>,
    /// The grower whose trial it is, where it is entered for another one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub entered_for: Option<EnteredFor>,
    /// Name of the place it belongs to, if one has been given.
    pub place: Option<String>,
    /// What it is to show; a trial has none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub question: Option<String>,
    /// Set up, but nothing has been started yet.
    #[serde(default, skip_serializing_if = "is_false")]
    pub is_planned: bool,
    /// When the propagules were started.
    pub started_on: When,
    /// How the number started is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub started_known: Option<StartedKnown>,
    /// Lift day: set in advance, then as it came.
    pub lift_on: Option<When>,
    /// Season end of grafts, weaning of cuttings.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub season_on: Option<When>,
    /// Spring count.
    pub spring_on: Option<When>,
    /// Final count.
    pub final_on: Option<When>,
    /// Exact number of stock plants.
    pub stock_plants: Option<u16>,
    /// Whether pots were placed at random.
    pub is_randomised: bool,
    /// Whether treatments were laid out in blocks.
    pub is_blocked: bool,
    /// Whether the scorer did not know the treatment.
    pub is_scored_blind: bool,
    /// Private note.
    pub note: Option<String>,
    /// Code of the trial that this one follows.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub parent: Option<String>,
    /// How it follows its parent; of the first version's none is known, which means fresh propagules for failed ones.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub relation: Option<Relation>,
    /// Series of the parent, where it may be named to others; worked out, never stored.
    #[serde(skip)]
    pub parent_series: Option<String>,
    /// Number of the treatment that the others are held against.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub control: Option<u8>,
    /// Whether each propagule was placed by itself, so that propagules and not pots are what was randomised.
    #[serde(default, skip_serializing_if = "is_false")]
    pub unit_is_piece: bool,
    /// Whether the number started was changed after the first count.
    #[serde(default, skip_serializing_if = "is_false")]
    pub is_started_changed: bool,
    /// Never offered for publishing.
    #[serde(default, skip_serializing_if = "is_false")]
    pub is_private: bool,
    /// The grower's own rule for counting a propagule as rooted, where roots are not seen.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rooted_rule: Option<String>,
    /// The grower's own grade of a finished plant.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grade: Option<String>,
    /// Where each pot stands on the bench.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub layout: Option<LayoutChoice>,
    /// The treatments.
    pub arms: Vec<Arm>,
}

/// Another grower, by name at home and by a random mark in records.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct EnteredFor {
    /// The name; it never leaves.
    pub name: String,
    /// The mark, 16 hex digits; the same for all trials of that grower. Empty until one is given.
    #[serde(default)]
    pub mark: String,
}

impl EnteredFor {
    /// The mark as bytes; `None` where it is damaged or not given.
    pub fn mark_bytes(&self) -> Option<[u8; 8]> {
        propagule_files::hex::decode(&self.mark)?.try_into().ok()
    }
}

/// How the number started is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum StartedKnown {
    /// Counted when the propagules were started.
    Counted,
    /// Worked out or remembered later.
    Later,
}

/// How the pots were laid out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct LayoutChoice {
    /// Seed of the random order.
    pub seed: u64,
    /// Columns of the bench grid.
    pub columns: usize,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde asks for a reference")]
fn is_false(value: &bool) -> bool {
    !*value
}

impl Trial {
    /// A trial of which only this is known.
    pub fn empty(code: &str, species: &str, started_on: When) -> Self {
        Self {
            code: code.to_owned(),
            series: String::new(),
            species: species.to_owned(),
            species_typed: None,
            entered_for: None,
            place: None,
            question: None,
            is_planned: false,
            started_on,
            started_known: None,
            lift_on: None,
            season_on: None,
            spring_on: None,
            final_on: None,
            stock_plants: None,
            is_randomised: false,
            is_blocked: false,
            is_scored_blind: false,
            note: None,
            parent: None,
            relation: None,
            parent_series: None,
            control: None,
            unit_is_piece: false,
            is_started_changed: false,
            is_private: false,
            rooted_rule: None,
            grade: None,
            layout: None,
            arms: Vec::new(),
        }
    }

    /// The date of a stage.
    pub fn date(&self, stage: Stage) -> Option<When> {
        match stage {
            Stage::Lift => self.lift_on,
            Stage::Season => self.season_on,
            Stage::Spring => self.spring_on,
            Stage::Final => self.final_on,
        }
    }

    /// Where the date of a stage stands.
    pub fn date_mut(&mut self, stage: Stage) -> &mut Option<When> {
        match stage {
            Stage::Lift => &mut self.lift_on,
            Stage::Season => &mut self.season_on,
            Stage::Spring => &mut self.spring_on,
            Stage::Final => &mut self.final_on,
        }
    }

    /// The last stage that has been counted in any treatment.
    pub fn last_stage(&self) -> Option<Stage> {
        Stage::ALL.into_iter().rev().find(|stage| self.arms.iter().any(|arm| arm.counts(*stage).is_some()))
    }

    /// The treatment of that number.
    pub fn arm(&self, number: u8) -> Option<&Arm> {
        self.arms.iter().find(|arm| arm.number == number)
    }

    /// The treatment and the pot that a code on a tag, or a treatment's label, names.
    pub fn target(&self, code: &str) -> Option<(&Arm, Option<&Replicate>)> {
        let same = |other: &str| other.eq_ignore_ascii_case(code);
        let replicate = self.arms.iter().find_map(|arm| {
            arm.replicates.iter().find(|r| same(&r.code)).map(|replicate| (arm, Some(replicate)))
        });
        replicate.or_else(|| self.arms.iter().find(|arm| same(&arm.label)).map(|arm| (arm, None)))
    }

    /// Whether it is one batch without a question.
    pub fn is_lot(&self) -> bool {
        self.arms.len() == 1 && self.question.is_none()
    }

    /// What a trial with these treatments asks, where nothing else was said.
    pub fn usual_question(arms: &[Arm]) -> String {
        let labels: Vec<&str> = arms.iter().map(|arm| arm.label.as_str()).collect();
        match labels.split_last() {
            Some((last, first)) if !first.is_empty() => {
                format!("{} or {last}: is there a difference?", first.join(", "))
            }
            _ => format!("{}: is there a difference?", labels.join("")),
        }
    }

    /// Day on which a treatment was started.
    pub fn started_of(&self, arm: &Arm) -> When {
        arm.started_on.unwrap_or(self.started_on)
    }

    /// Propagules started, all treatments together.
    pub fn started(&self) -> u32 {
        self.arms.iter().map(|arm| u32::from(arm.started)).sum()
    }

    /// How it follows its parent, where it has one.
    pub fn follows(&self) -> Option<Relation> {
        self.parent.as_ref().map(|_| self.relation.unwrap_or(Relation::Replaces))
    }

    /// The series as bytes; `None` where it is damaged.
    pub fn series_bytes(&self) -> Option<[u8; 16]> {
        propagule_files::hex::decode(&self.series)?.try_into().ok()
    }
}
