//! What bench commands ask for.

mod parts;

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

pub use parts::{Closing, DuePart, PaperKind};

use crate::bench::spot::Care;
use crate::bench::{Relation, Rest, Stage, StartedKnown};
use crate::paper::dates::When;

/// One bench command, with everything that it needs.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(tag = "bench", rename_all = "snake_case")]
pub enum BenchRequest {
    /// Set up a trial or lot.
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
    /// The pieces have been put in.
    Stick(Stick),
    /// Something was counted, or only looked at.
    Enter(Enter),
    /// Pieces were put elsewhere.
    Move {
        /// The trial.
        trial: String,
        /// Labels of the arms; none means all.
        arms: Vec<String>,
        /// Where to.
        to: String,
        /// What differs from then on, as typed.
        with: Option<String>,
        /// Day, note, files.
        common: Common,
    },
    /// Pieces were sold, given or planted out.
    Left {
        /// The trial.
        trial: String,
        /// Pot or arm; none where there is but one.
        place: Option<String>,
        /// How many.
        pieces: u16,
        /// `sold`, `given` or `planted out`.
        how: String,
        /// Whether they had the grower's own grade.
        at_grade: bool,
        /// Day, note, files.
        common: Common,
    },
    /// Suckers were looked for.
    Suckers {
        /// The trial.
        trial: String,
        /// `ARM=removed`, as typed.
        removed: Vec<String>,
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
        /// A trial or spot.
        subject: String,
        /// Day, note, files.
        common: Common,
    },
    /// Care of a spot.
    Care {
        /// The spot.
        spot: String,
        /// What.
        care: Care,
        /// The last day of it.
        until: Option<When>,
        /// Day, note, files.
        common: Common,
    },
    /// Take an entry of a spot back: care or a note.
    TakeBackCare {
        /// The spot.
        spot: String,
        /// Number of the entry.
        entry: u64,
    },
    /// Describe a spot.
    SpotSet {
        /// Its name.
        name: String,
        /// Facets as typed.
        with: String,
    },
    /// Stand lots on a spot.
    Stand {
        /// The spot.
        spot: String,
        /// Codes of trials; `all` is every one that is put in.
        lots: Vec<String>,
        /// Day, note, files.
        common: Common,
    },
    /// Show the spots.
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
        /// Facets as typed.
        with: String,
        /// Private note.
        note: Option<String>,
        /// Take the plant name even where words of it are left out.
        #[serde(default)]
        yes: bool,
    },
    /// Show the stock plants.
    StockShow,
    /// Correct an entry, or take it back.
    CorrectEntry {
        /// The trial.
        trial: String,
        /// Number of the entry.
        entry: u64,
        /// Counts that replace those of the same places, as typed.
        counts: Vec<String>,
        /// Another day.
        on: Option<When>,
        /// It never happened.
        take_back: bool,
    },
    /// Correct the last entry of a trial, or of the home.
    Fix {
        /// The trial; none is the home.
        trial: Option<String>,
        /// Counts that replace those of the same places, as typed.
        counts: Vec<String>,
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
        /// Why, and what became of the pieces that are left.
        closing: Closing,
        /// Day, note, files.
        common: Common,
    },
    /// All trials that sleep are over.
    CloseAsleep {
        /// Why, and what became of the pieces that are left.
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
    /// Everything on a spot, or on the whole bench, was looked at, and nothing changed.
    LookedAll {
        /// The spot; none means the whole bench.
        spot: Option<String>,
        /// Day, note, files.
        common: Common,
    },
    /// Looks at everything on a spot were none.
    TakeBackLooks {
        /// Numbers of the entries, first and last.
        entries: (u64, u64),
    },
    /// Choose whether results of this home are to be published, or show what was chosen.
    Settings {
        /// The choice; none only shows.
        publishing: Option<bool>,
    },
    /// Lay the replicates out.
    Layout {
        /// The trial.
        trial: String,
        /// Columns of the bench grid.
        columns: Option<usize>,
        /// Seed of the random order.
        seed: Option<u64>,
        /// Columns of the terminal.
        width: usize,
    },
    /// Something to print.
    Paper {
        /// The trial.
        trial: String,
        /// Which.
        what: PaperKind,
        /// Without the arms.
        is_blind: bool,
        /// US paper.
        is_letter: bool,
    },
    /// Everything, as tables.
    Export {
        /// Only the tidy table and what describes it.
        table_only: bool,
    },
    /// A caution is not wanted again this season.
    Dismiss {
        /// Its name.
        caution: String,
    },
}

/// Day, note and files of an entry.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Common {
    /// The day.
    pub on: When,
    /// Private note.
    pub note: Option<String>,
    /// Paths of photos or videos.
    pub files: Vec<String>,
    /// Name under which it may be sent again.
    pub once: Option<String>,
    /// It is so, unusual as it is.
    #[serde(default)]
    pub is_sure: bool,
    /// What is to become of an entry of that day that is in already.
    #[serde(default)]
    pub repeat: Option<Repeat>,
}

impl Common {
    /// Of a day, without anything else.
    pub fn on(on: When) -> Self {
        Self { on, note: None, files: Vec::new(), once: None, is_sure: false, repeat: None }
    }
}

/// What is to become of an entry where there is one of the same day already.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Repeat {
    /// It replaces that one.
    Instead,
    /// It is another one.
    Again,
}

/// A trial to be set up.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct NewTrial {
    /// The grower's code.
    pub code: String,
    /// Plant name.
    pub species: String,
    /// What it is to show.
    pub question: Option<String>,
    /// The day it is to be started.
    pub on: When,
    /// Facets of all arms, as typed.
    pub with: String,
    /// Arms as typed.
    pub arms: Vec<String>,
    /// Pots of an arm that does not say.
    pub pots: Option<u16>,
    /// Pieces of a pot, or of an arm without pots.
    pub pieces: Option<u16>,
    /// Pots that hold pieces of every arm: how many, and places in each.
    pub shared_pots: Option<(u16, u16)>,
    /// Number of stock plants.
    pub stock_plants: Option<u16>,
    /// The grower it is entered for, where it is not the own one.
    pub entered_for: Option<String>,
    /// Name of the place.
    pub place: Option<String>,
    /// Lift day, set in advance.
    pub lift_on: Option<When>,
    /// The trial that it follows.
    pub parent: Option<String>,
    /// How it follows that.
    #[serde(default)]
    pub relation: Option<Relation>,
    /// The grower's rule for rooted.
    pub rooted_rule: Option<String>,
    /// The grower's grade of finished plants.
    pub grade: Option<String>,
    /// Private note.
    pub note: Option<String>,
    /// Show what it would be, and save nothing.
    pub dry_run: bool,
    /// Take the plant name even where words of it are left out.
    #[serde(default)]
    pub yes: bool,
    /// Code of a trial whose arms, pots, pieces, place, grade and rule it takes where nothing else is said.
    #[serde(default)]
    pub like: Option<String>,
    /// Label of the arm that the others are held against.
    #[serde(default)]
    pub control: Option<String>,
    /// Who did which pots, as typed: `R: P1,P2`.
    #[serde(default)]
    pub done_by: Vec<String>,
    /// Each piece is placed by itself.
    #[serde(default)]
    pub is_single_pieces: bool,
}

impl NewTrial {
    /// One lot of a plant, of which nothing else is said.
    pub fn lot(code: &str, species: &str, on: When) -> Self {
        Self {
            code: code.to_owned(),
            species: species.to_owned(),
            question: None,
            on,
            with: String::new(),
            arms: Vec::new(),
            pots: None,
            pieces: None,
            shared_pots: None,
            stock_plants: None,
            entered_for: None,
            place: None,
            lift_on: None,
            parent: None,
            rooted_rule: None,
            grade: None,
            note: None,
            dry_run: false,
            yes: false,
            relation: None,
            like: None,
            control: None,
            done_by: Vec::new(),
            is_single_pieces: false,
        }
    }
}

/// Pieces have been put in.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Stick {
    /// The trial.
    pub trial: String,
    /// The day.
    pub on: When,
    /// Pieces put in where they differ from the plan, as typed: `A=11`, `P3=4`.
    pub counts: Vec<String>,
    /// How the number is known.
    pub known: StartedKnown,
    /// Where it stands.
    pub spot: Option<String>,
    /// Whether trials are opened on the network on this day; none leaves it as chosen before.
    pub opens: Option<bool>,
}

/// Something was counted, or only looked at.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Enter {
    /// The trial.
    pub trial: String,
    /// The stage; none for a check in between.
    pub stage: Option<Stage>,
    /// Counts as typed.
    pub counts: Vec<String>,
    /// Counts in the order of the printed sheet, as typed.
    pub in_order: Option<String>,
    /// What became of pieces that are not mentioned.
    pub rest: Option<Rest>,
    /// The scorer did not know which arm is which.
    pub is_blind: bool,
    /// Day, note, files.
    pub common: Common,
}

/// Corrections of a trial's description; what is none stays.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct CorrectTrial {
    /// The trial.
    pub trial: String,
    /// Plant name.
    pub species: Option<String>,
    /// Day of starting.
    pub started_on: Option<When>,
    /// Lift day, set in advance.
    pub lift_on: Option<When>,
    /// Place.
    pub place: Option<String>,
    /// Arms as typed: `LABEL: key=value; …`.
    pub arms: Vec<String>,
    /// Codes of tags: old → new.
    pub relabelled: BTreeMap<String, String>,
    /// Pieces put in, as typed: `A=12`, `P3=4`.
    pub started: Vec<String>,
    /// The grower's rule for rooted.
    pub rooted_rule: Option<String>,
    /// The grower's grade of finished plants.
    pub grade: Option<String>,
    /// Private note.
    pub note: Option<String>,
    /// Take the plant name even where words of it are left out.
    #[serde(default)]
    pub yes: bool,
}
