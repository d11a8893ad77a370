//! What came of an entry at the bench.

mod places;

pub use places::{HadRoots, PlaceChange, PlaceRoots, PlaceStands, RootsSeen, Total};

use propagule_bench::dates::When;
use propagule_bench::kind::Kind;
use propagule_bench::spot::Spot;
use propagule_bench::{Departure, Entry, Stage, State};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::said::Said;
use super::take_back::TakeBack;

/// What came of an entry.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct EntryOutcome {
    /// Its number; none where there was nothing to save.
    pub entry: Option<u64>,
    /// Whether something was saved now.
    pub saved: bool,
    /// What happened, or why nothing was saved.
    #[serde(flatten)]
    pub came: EntryCame,
}

impl EntryOutcome {
    /// An entry that was saved.
    pub fn saved(entry: u64, came: EntryCame) -> Self {
        Self { entry: Some(entry), saved: true, came }
    }

    /// An entry that was there before.
    pub fn before(entry: u64, came: EntryCame) -> Self {
        Self { entry: Some(entry), saved: false, came }
    }

    /// Each place as it stands, where the entry is about all of a trial.
    pub fn stands(&self) -> Option<&[PlaceStands]> {
        match &self.came {
            EntryCame::Counted(counted) => Some(&counted.after.stands),
            EntryCame::Looked(after) | EntryCame::Suckers(after) | EntryCame::WrapCut(after) => {
                Some(&after.stands)
            }
            _ => None,
        }
    }
}

/// What happened at the bench, or why nothing of it was saved.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "came", rename_all = "snake_case")]
pub enum EntryCame {
    /// Propagules were counted at a check or a stage.
    Counted(Box<Counted>),
    /// Somebody looked.
    Looked(Box<AfterEntry>),
    /// Suckers were looked for.
    Suckers(Box<AfterEntry>),
    /// The wrap was cut.
    WrapCut(Box<AfterEntry>),
    /// Living propagules were moved elsewhere.
    Moved(PiecesMoved),
    /// They stand there already.
    StandsThere {
        /// The trial.
        trial: String,
        /// Where.
        spot: String,
    },
    /// Propagules were sold, given or planted out.
    Left(PiecesLeft),
    /// A note.
    Noted(Noted),
    /// The mist, shade, heat and water log of a bench.
    Cared(Cared),
    /// An entry in the log of a bench was undone.
    CareTakenBack {
        /// Always.
        taken_back: bool,
    },
    /// An entry stands otherwise from now on.
    Corrected(Box<Corrected>),
    /// An entry never happened.
    TakenBack(Box<Mended>),
    /// The same is in for that day.
    AlreadyIn {
        /// The day.
        on: When,
    },
    /// It was sent under the same name before.
    AlreadySent,
}

/// Propagules were counted.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Counted {
    /// The stage; none for a check.
    pub stage: Option<Stage>,
    /// Where roots were seen at a check, and where nobody looked for them; none where that needs no telling.
    pub roots: Option<RootsSeen>,
    /// How the trial stands.
    #[serde(flatten)]
    pub after: AfterEntry,
}

/// A trial after an entry.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct AfterEntry {
    /// Its code.
    pub trial: String,
    /// In whose words it is told.
    pub kind: Kind,
    /// The day of the entry.
    pub on: When,
    /// Number of the correction, where the entry took the place of another one of that day.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub correction: Option<u64>,
    /// Each place as it stands, in the order of the trial.
    pub stands: Vec<PlaceStands>,
    /// What happened in each place that the entry names.
    pub changes: Vec<PlaceChange>,
    /// Places that a count at a stage left out.
    pub not_counted_yet: Vec<String>,
    /// The whole trial on that day.
    pub total: Total,
    /// How to take the entry back.
    pub take_back: TakeBack,
}

/// Living propagules were moved elsewhere.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PiecesMoved {
    /// The trial.
    pub trial: String,
    /// In whose words it is told.
    pub kind: Kind,
    /// Where to.
    pub spot: String,
    /// That bench, where it was not described before and its name said what it is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub new_spot: Option<Spot>,
    /// The day.
    pub on: When,
    /// Number of the correction, where the move took the place of another one of that day.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub correction: Option<u64>,
    /// The treatments that moved.
    pub arms: Vec<ArmMoved>,
    /// How to undo it.
    pub take_back: TakeBack,
}

/// A treatment that moved.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct ArmMoved {
    /// Its label.
    pub arm: String,
    /// Propagules started.
    pub started: u16,
    /// The week of the move, from the day on which they were started.
    pub week: i32,
    /// Whether what is first seen from now on counts as after the move; else all have roots, and it is aftercare.
    pub is_phase: bool,
    /// The most moves that a record carries, where the treatment made more.
    pub moves_carried: Option<usize>,
}

/// Propagules were sold, given or planted out.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PiecesLeft {
    /// The trial.
    pub trial: String,
    /// In whose words it is told.
    pub kind: Kind,
    /// How many.
    pub pieces: u16,
    /// How they left.
    pub how: Departure,
    /// Whether they had the grower's grade: then they count as finished.
    pub at_grade: bool,
    /// The day.
    pub on: When,
    /// Number of the correction, where it took the place of another entry of that day.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub correction: Option<u64>,
    /// The place that they left, as it stands.
    pub from: PlaceStands,
    /// Names of the cautions to mind, those hidden left out.
    #[serde(default)]
    pub cautions: Vec<String>,
    /// How to undo it.
    pub take_back: TakeBack,
}

/// A note.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Noted {
    /// The trial or bench.
    pub subject: String,
    /// The day.
    pub on: When,
    /// How to undo it.
    pub take_back: TakeBack,
}

/// The mist, shade, heat and water log of a bench.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Cared {
    /// The bench.
    pub spot: String,
    /// The day.
    pub on: When,
    /// What.
    pub care: Said,
    /// Trials of which something stands there on that day.
    pub lots: Vec<String>,
    /// Names of the cautions to mind, those hidden left out.
    pub cautions: Vec<String>,
    /// How to undo it.
    pub take_back: TakeBack,
}

/// An entry stands otherwise from now on.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Corrected {
    /// As it stands.
    pub now: Entry,
    /// What came of it.
    #[serde(flatten)]
    pub mended: Mended,
}

/// An entry that was corrected or undone.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Mended {
    /// The trial.
    pub trial: String,
    /// In whose words it is told.
    pub kind: Kind,
    /// Whether it was undone.
    pub taken_back: bool,
    /// Number of the correction.
    pub correction: u64,
    /// Numbers that differ from those before.
    pub corrected: Vec<Said>,
    /// Each place of the trial as it stands.
    pub stands: Vec<PlaceStands>,
}

/// A number that was corrected.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct NumberCorrected {
    /// The place.
    pub place: String,
    /// What it is of.
    pub of: State,
    /// In whose words it is told.
    pub kind: Kind,
    /// The number before; none where it was not said.
    pub then: Option<u16>,
    /// The number now.
    pub now: Option<u16>,
}

#[cfg(test)]
mod tests;
