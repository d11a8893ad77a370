//! A trial as the grower keeps it: exact dates, own labels, notes. All of it is private.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::paper::dates::When;

/// A trial or lot.
#[expect(clippy::struct_excessive_bools, reason = "each is a fact of its own, as the journal writes it")]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
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
    /// What it is to show; a lot has none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub question: Option<String>,
    /// Set up, but nothing has been put in yet.
    #[serde(default, skip_serializing_if = "is_false")]
    pub is_planned: bool,
    /// When the pieces were put in.
    pub started_on: When,
    /// How the number put in is known.
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
    /// Whether replicates were placed at random.
    pub is_randomised: bool,
    /// Whether arms were laid out in blocks.
    pub is_blocked: bool,
    /// Whether the scorer did not know the arm.
    pub is_scored_blind: bool,
    /// Private note.
    pub note: Option<String>,
    /// Code of the trial that this one follows.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub parent: Option<String>,
    /// How it follows its parent; of the first version's none is known, which means fresh pieces for failed ones.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub relation: Option<Relation>,
    /// Series of the parent, where it may be named to others; worked out, never stored.
    #[serde(skip)]
    pub parent_series: Option<String>,
    /// Number of the arm that the others are held against.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub control: Option<u8>,
    /// Whether each piece was placed by itself, so that pieces and not pots are what was randomised.
    #[serde(default, skip_serializing_if = "is_false")]
    pub unit_is_piece: bool,
    /// Whether the number put in was changed after the first count.
    #[serde(default, skip_serializing_if = "is_false")]
    pub is_started_changed: bool,
    /// Never offered for publishing.
    #[serde(default, skip_serializing_if = "is_false")]
    pub is_private: bool,
    /// The grower's own rule for counting a piece as rooted, where roots are not seen.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rooted_rule: Option<String>,
    /// The grower's own grade of a finished plant.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grade: Option<String>,
    /// Where each replicate stands on the bench.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub layout: Option<LayoutChoice>,
    /// The treatments.
    pub arms: Vec<Arm>,
}

/// Another grower, by name at home and by a random mark in records.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
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
        crate::hex::decode(&self.mark)?.try_into().ok()
    }
}

/// One treatment of a trial.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Arm {
    /// Number within the trial, from 1, the same for ever.
    pub number: u8,
    /// The grower's own label.
    pub label: String,
    /// Pieces put in.
    pub started: u16,
    /// Facet name → words.
    pub facets: BTreeMap<String, String>,
    /// Pots, trays or rows; none where only the arm as a whole is counted.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub replicates: Vec<Replicate>,
    /// The stock plant of all its pieces.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stock_plant: Option<String>,
    /// The spot it is to stand on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub spot: Option<String>,
    /// Who did the work.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub operator: Option<String>,
    /// When it was started, where that differs from the trial.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub started_on: Option<When>,
    /// What is different about it that no facet holds.
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
    /// The lead outcome of each stage by replicate; worked out, never stored.
    #[serde(skip)]
    pub replicate_counts: BTreeMap<Stage, Option<Vec<u16>>>,
    /// Lost by each stage, by replicate; worked out, never stored.
    #[serde(skip)]
    pub replicate_lost: BTreeMap<Stage, Vec<u16>>,
    /// Later phases, after moves of unrooted survivors; worked out, never stored.
    #[serde(skip)]
    pub phases: Vec<ArmPhase>,
    /// What its pieces have beside facets: spot, shares of stock plants, operators, day; worked out, never stored.
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
    /// Facet name → words from then on.
    pub facets: BTreeMap<String, String>,
}

/// A pot, tray or row: the experimental unit.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Replicate {
    /// The code on its tag, unique within the trial.
    pub code: String,
    /// Pieces put in.
    pub started: u16,
    /// The pot or tray that it shares with other arms: then that is the block.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pot: Option<String>,
    /// Its stock plant.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stock_plant: Option<String>,
    /// Who did the work on it, where that differs within the arm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub operator: Option<String>,
}

/// How a trial follows another one of the same grower.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Relation {
    /// Fresh pieces for failed ones.
    #[default]
    Replaces,
    /// Worked again on the same stocks.
    Regraft,
    /// The same question in another season.
    Repeat,
}

impl Relation {
    /// Its word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Replaces => "replaces",
            Self::Regraft => "regraft",
            Self::Repeat => "repeat",
        }
    }

    /// What it means.
    pub fn words(self) -> &'static str {
        match self {
            Self::Replaces => "fresh pieces for failed ones",
            Self::Regraft => "worked again on the same stocks",
            Self::Repeat => "the same question in another season",
        }
    }
}

/// How the number put in is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum StartedKnown {
    /// Counted when the pieces were put in.
    Counted,
    /// Worked out or remembered later.
    Later,
}

/// How the replicates were laid out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
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
    /// Ever with roots, whatever became of them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ever_rooted: Option<u16>,
}

/// When something is counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Stage {
    /// Lift day.
    Lift,
    /// Season end of grafts, weaning of cuttings.
    Season,
    /// Spring count.
    Spring,
    /// Final count.
    Final,
}

impl Stage {
    /// All stages in order.
    pub const ALL: [Self; 4] = [Self::Lift, Self::Season, Self::Spring, Self::Final];

    /// The stage's word, as in column names.
    pub fn word(self) -> &'static str {
        match self {
            Self::Lift => "lift",
            Self::Season => "season",
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

    /// The last stage that has been counted in any arm.
    pub fn last_stage(&self) -> Option<Stage> {
        Stage::ALL.into_iter().rev().find(|stage| self.arms.iter().any(|arm| arm.counts(*stage).is_some()))
    }

    /// The arm of that number.
    pub fn arm(&self, number: u8) -> Option<&Arm> {
        self.arms.iter().find(|arm| arm.number == number)
    }

    /// The arm and the replicate that a code on a tag, or an arm's label, names.
    pub fn target(&self, code: &str) -> Option<(&Arm, Option<&Replicate>)> {
        let same = |other: &str| other.eq_ignore_ascii_case(code);
        let replicate = self.arms.iter().find_map(|arm| {
            arm.replicates.iter().find(|r| same(&r.code)).map(|replicate| (arm, Some(replicate)))
        });
        replicate.or_else(|| self.arms.iter().find(|arm| same(&arm.label)).map(|arm| (arm, None)))
    }

    /// Whether it is one lot without a question.
    pub fn is_lot(&self) -> bool {
        self.arms.len() == 1 && self.question.is_none()
    }

    /// Day on which an arm was started.
    pub fn started_of(&self, arm: &Arm) -> When {
        arm.started_on.unwrap_or(self.started_on)
    }

    /// Pieces put in, all arms together.
    pub fn started(&self) -> u32 {
        self.arms.iter().map(|arm| u32::from(arm.started)).sum()
    }
}

impl Trial {
    /// How it follows its parent, where it has one.
    pub fn follows(&self) -> Option<Relation> {
        self.parent.as_ref().map(|_| self.relation.unwrap_or(Relation::Replaces))
    }

    /// The series as bytes; `None` where it is damaged.
    pub fn series_bytes(&self) -> Option<[u8; 16]> {
        crate::hex::decode(&self.series)?.try_into().ok()
    }
}
