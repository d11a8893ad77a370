//! What bench commands ask for.

mod arm;
mod common;
mod correct;
mod enter;
mod new;
mod parts;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

pub use crate::outcome::private::SettingChoice;
pub(super) use arm::facet_refused;
pub use arm::{ArmFacts, ArmGiven, DoneBy, Hearing, StartedAt, facet_names, give_facet};
pub use common::{Common, Repeat};
pub use correct::CorrectTrial;
pub use enter::{Enter, PutIn, Stick, UnitsOf};
pub use new::NewTrial;
pub use parts::{Because, Closing, DuePart, PaperKind};

use std::collections::BTreeMap;

use propagule_bench::dates::When;
use propagule_bench::given::FacetsGiven;
use propagule_bench::spot::Care;
use propagule_bench::typed::tally::PlaceCount;
use propagule_bench::{Departure, UnitKey};

/// One bench command, with everything that it needs.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "bench", rename_all = "snake_case")]
#[expect(clippy::large_enum_variant, reason = "one at a time is made, and moved a few times")]
pub enum BenchRequest {
    /// Set up a trial or batch.
    New(NewTrial),
    /// Set up a trial as another one was.
    Copy {
        /// Code of the other one.
        old: String,
        /// Code of the new one; none is the next of its series.
        new: Option<String>,
        /// The day it is to be started.
        on: When,
        /// Show what it would be, and save nothing.
        dry_run: bool,
    },
    /// The propagules have been started.
    Stick(Stick),
    /// Something was counted, or only looked at.
    Enter(Enter),
    /// Propagules were moved elsewhere.
    Move {
        /// The trial.
        trial: String,
        /// Numbers of the treatments; none means all.
        arms: Vec<u8>,
        /// Where to.
        to: String,
        /// What differs from then on: detail name → words.
        facets: BTreeMap<String, String>,
        /// Day, note, files.
        common: Common,
    },
    /// Propagules were sold, given or planted out.
    Left {
        /// The trial.
        trial: String,
        /// The place that they left.
        unit: UnitKey,
        /// How many.
        pieces: u16,
        /// How they left.
        how: Departure,
        /// Whether they had the grower's own grade.
        at_grade: bool,
        /// Day, note, files.
        common: Common,
    },
    /// Suckers were looked for.
    Suckers {
        /// The trial.
        trial: String,
        /// Number of the treatment, and how many were removed there.
        removed: Vec<(u8, u16)>,
        /// Day, note, files.
        common: Common,
    },
    /// The wrap was cut.
    WrapCut {
        /// The trial.
        trial: String,
        /// Day, note, files.
        common: Common,
    },
    /// A note or picture.
    Note {
        /// A trial or bench.
        subject: String,
        /// Day, note, files.
        common: Common,
    },
    /// The mist, shade, heat and water log of a bench.
    Care {
        /// The bench.
        spot: String,
        /// What.
        care: Care,
        /// The last day of it.
        until: Option<When>,
        /// Day, note, files.
        common: Common,
    },
    /// Take an entry in the log of a bench back.
    TakeBackCare {
        /// The bench.
        spot: String,
        /// Number of the entry.
        entry: u64,
    },
    /// Describe a bench.
    SpotSet {
        /// Its name.
        name: String,
        /// What trials take from it.
        facets: FacetsGiven,
    },
    /// Set trials on a bench.
    Stand {
        /// The bench.
        spot: String,
        /// Codes of trials; `all` is every one that is started.
        lots: Vec<String>,
        /// Day, note, files.
        common: Common,
    },
    /// Show the benches.
    SpotShow {
        /// One, or all.
        name: Option<String>,
    },
    /// Describe a stock plant.
    StockSet {
        /// Its name.
        name: String,
        /// Plant name.
        species: Option<String>,
        /// What propagules take from it.
        facets: FacetsGiven,
        /// Private note.
        note: Option<String>,
        /// Take the plant name even where words of it are left out.
        #[serde(default)]
        yes: bool,
    },
    /// Show the stock plants.
    StockShow,
    /// Correct an entry, or undo it.
    CorrectEntry {
        /// The trial.
        trial: String,
        /// Number of the entry.
        entry: u64,
        /// Counts that replace those of the same places.
        counts: Vec<PlaceCount>,
        /// Another day.
        on: Option<When>,
        /// It never happened.
        take_back: bool,
    },
    /// Take the last entry of the home back.
    Undo {
        /// Whether the grower saw which it is, and agreed.
        is_agreed: bool,
    },
    /// Take an entry of a trial or a bench back.
    UndoOf {
        /// Code of the trial, or name of the bench.
        subject: String,
        /// Number of the entry; none is the last one.
        entry: Option<u64>,
    },
    /// The places of a trial, as its counts are read.
    Units {
        /// Which trial, and at which stage.
        of: UnitsOf,
    },
    /// How each pot of a trial stands.
    Pots {
        /// The trial.
        trial: String,
        /// The day; none is now.
        on: Option<When>,
    },
    /// Correct the description of a trial.
    CorrectTrial(CorrectTrial),
    /// Every entry of a trial with its corrections.
    History {
        /// The trial.
        trial: String,
    },
    /// What is due.
    Due {
        /// The day.
        as_of: propagule_protocol::Date,
        /// Which part of it, and with which folds open.
        #[serde(default)]
        part: DuePart,
    },
    /// The trial is over.
    Close {
        /// The trial.
        trial: String,
        /// Why, and what became of the propagules that are left.
        closing: Closing,
        /// Day, note, files.
        common: Common,
    },
    /// All trials that sleep are over.
    CloseAsleep {
        /// Why, and what became of the propagules that are left.
        closing: Closing,
        /// Day, note, files.
        common: Common,
        /// The grower has seen which they are.
        confirmed: bool,
    },
    /// Trials go on after all.
    Reopen {
        /// Their codes.
        trials: Vec<String>,
    },
    /// A trial stays at home, or may be published after all.
    Private {
        /// The trial.
        trial: String,
        /// It stays at home.
        is_private: bool,
    },
    /// Everything on one bench, or on all of them, was looked at, and nothing changed.
    LookedAll {
        /// The bench; none means all of them.
        spot: Option<String>,
        /// Of what stands there only these trials; none means all.
        #[serde(default)]
        only: Vec<String>,
        /// Day, note, files.
        common: Common,
    },
    /// Looks at everything on a bench were none.
    TakeBackLooks {
        /// Numbers of the entries, first and last.
        entries: (u64, u64),
    },
    /// Choose something for this home, or show what was chosen.
    Settings {
        /// The choice; none only shows.
        choice: Option<SettingChoice>,
    },
    /// Lay the pots out.
    Layout {
        /// The trial.
        trial: String,
        /// Columns of the bench grid.
        columns: Option<usize>,
        /// Seed of the random order.
        seed: Option<u64>,
    },
    /// Something to print.
    Paper {
        /// The trial.
        trial: String,
        /// Which.
        what: PaperKind,
        /// Without the treatments.
        is_blind: bool,
        /// US paper.
        is_letter: bool,
    },
    /// Everything, as tables.
    Export {
        /// Only the tidy table and what describes it.
        table_only: bool,
    },
    /// Show the cautions.
    Cautions,
    /// A caution is not wanted again this season.
    Dismiss {
        /// Its name.
        caution: String,
    },
}
