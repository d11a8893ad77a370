//! What happened on a day at the bench, as it was entered.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::spot::Care;
use super::trial::Stage;
use crate::dates::When;

/// One happening, with its day, note and files.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Entry {
    /// The day.
    pub on: When,
    /// What happened.
    pub what: What,
    /// Private note; never published.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// Paths of photos or videos; never copied, never published.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub files: Vec<String>,
    /// Name that whoever sends an entry gives it, so that sending it again changes nothing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub once: Option<String>,
}

/// Kinds of happenings.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "what", rename_all = "snake_case")]
pub enum What {
    /// Looked at, without counting.
    Looked {
        /// The trial.
        trial: String,
    },
    /// Counted at a check, or at a stage.
    Counted {
        /// The trial.
        trial: String,
        /// The stage; none for a check in between.
        stage: Option<Stage>,
        /// What was counted where.
        tallies: Vec<Tally>,
        /// The scorer did not know which treatment is which.
        #[serde(default)]
        is_blind: bool,
        /// By which rules its tallies are read.
        #[serde(default, skip_serializing_if = "Law::is_first")]
        law: Law,
    },
    /// Living propagules were moved elsewhere.
    Moved {
        /// The trial.
        trial: String,
        /// Numbers of the treatments.
        arms: Vec<u8>,
        /// Where to.
        spot: Option<String>,
        /// What is different from then on: detail name → words.
        facets: BTreeMap<String, String>,
    },
    /// Propagules were sold, given away or planted out.
    Left {
        /// The trial.
        trial: String,
        /// Number of the treatment.
        arm: u8,
        /// The pot, where there is one.
        replicate: Option<String>,
        /// How many.
        pieces: u16,
        /// `sold`, `given` or `planted out`.
        how: String,
        /// Whether they had the grower's own grade.
        at_grade: bool,
    },
    /// Trials were set on a bench.
    Stood {
        /// The trial.
        trial: String,
        /// Numbers of the treatments.
        arms: Vec<u8>,
        /// The bench.
        spot: String,
    },
    /// The mist, shade, heat and water log of a bench.
    Cared {
        /// The bench.
        spot: String,
        /// What.
        care: Care,
        /// The last day of it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        until: Option<When>,
    },
    /// Suckers were looked for and removed.
    Suckers {
        /// The trial.
        trial: String,
        /// Number of the treatment, and how many.
        removed: Vec<(u8, u16)>,
    },
    /// The trial is over: nothing is due any more, and its results stand.
    Closed {
        /// The trial.
        trial: String,
        /// Why: `sold-out`, `given-up`, `done` or `merged`.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        because: Option<String>,
        /// What became of the propagules that were left.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        rest: Option<Fate>,
    },
    /// The wrap was cut.
    WrapCut {
        /// The trial.
        trial: String,
    },
    /// Only a note or a picture.
    Noted {
        /// The trial, or a bench.
        subject: String,
    },
}

impl What {
    /// The trial that it belongs to.
    pub fn trial(&self) -> Option<&str> {
        match self {
            Self::Looked { trial }
            | Self::Counted { trial, .. }
            | Self::Moved { trial, .. }
            | Self::Left { trial, .. }
            | Self::Stood { trial, .. }
            | Self::Suckers { trial, .. }
            | Self::Closed { trial, .. }
            | Self::WrapCut { trial } => Some(trial),
            Self::Noted { subject } => Some(subject),
            Self::Cared { .. } => None,
        }
    }

    /// The word for its kind.
    pub fn word(&self) -> &'static str {
        match self {
            Self::Looked { .. } => "looked",
            Self::Counted { stage: None, .. } => "check",
            Self::Counted { stage: Some(stage), .. } => stage.word(),
            Self::Moved { .. } => "move",
            Self::Left { .. } => "left",
            Self::Stood { .. } => "stood",
            Self::Cared { .. } => "care",
            Self::Suckers { .. } => "suckers",
            Self::Closed { .. } => "closed",
            Self::WrapCut { .. } => "wrap cut",
            Self::Noted { .. } => "note",
        }
    }
}

/// By which rules a count is read. A count keeps those by which it was typed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Law {
    /// Of the first version: roots only where they were typed, and fewer roots than before as they came.
    #[default]
    First,
    /// Each propagule has one state: see `fates`.
    Fates,
}

impl Law {
    #[expect(clippy::trivially_copy_pass_by_ref, reason = "serde asks for a reference")]
    fn is_first(&self) -> bool {
        *self == Self::First
    }
}

/// What became of the propagules that were left when a trial was closed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Fate {
    /// They died.
    Dead,
    /// They are lost.
    Lost,
    /// Nobody looked.
    NotKnown,
}

/// What was counted in one pot, or in a treatment that has none.
///
/// Alive, dead, lost and not known exclude each other and add up to what was left at the last count; dead and lost
/// are those since then. The others are parts of alive.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(default)]
pub struct Tally {
    /// Number of the treatment.
    pub arm: u8,
    /// The pot.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub replicate: Option<String>,
    /// Living, rooted ones included.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub alive: Option<u16>,
    /// Living, without roots.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub green: Option<u16>,
    /// Dead since the last count.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub dead: Option<u16>,
    /// Of the dead, those that had roots.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub of_rooted: Option<u16>,
    /// Lost since the last count.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lost: Option<u16>,
    /// Neither known alive nor known dead.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub not_known: Option<u16>,
    /// Counted dead before, found alive now.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub found_alive: Option<u16>,
    /// With callus.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub callused: Option<u16>,
    /// Rooted (taken, germinated).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rooted: Option<u16>,
    /// Growing on.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub established: Option<u16>,
    /// At the grower's own grade, those that left apart.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub finished: Option<u16>,
    /// Why propagules died or were lost.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cause: Option<String>,
    /// Overlapping marks: name → count, or none, some, most.
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    pub marks: BTreeMap<String, Mark>,
    /// Root counts of propagules that were looked at one by one.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub root_counts: Vec<u16>,
    /// Longest root, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub longest_root: Option<u16>,
    /// Propagules by grade from 0 up.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub grades: Vec<u16>,
    /// Id of the scale of the grades.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub grade_scale: Option<String>,
}

impl Tally {
    /// What was counted, each under the word that it is typed with; causes, marks and what was measured apart.
    pub fn counts(&self) -> [(&'static str, Option<u16>); 11] {
        let Self {
            arm: _,
            replicate: _,
            alive,
            green,
            dead,
            of_rooted,
            lost,
            not_known,
            found_alive,
            callused,
            rooted,
            established,
            finished,
            cause: _,
            marks: _,
            root_counts: _,
            longest_root: _,
            grades: _,
            grade_scale: _,
        } = self;
        [
            ("alive", *alive),
            ("rooted", *rooted),
            ("green", *green),
            ("callused", *callused),
            ("established", *established),
            ("finished", *finished),
            ("dead", *dead),
            ("of-rooted", *of_rooted),
            ("lost", *lost),
            ("not-known", *not_known),
            ("found-alive", *found_alive),
        ]
    }
}

/// How many show a mark.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Mark {
    /// So many.
    Count(u16),
    /// None of them.
    None,
    /// Some of them.
    Some,
    /// Most of them.
    Most,
}
