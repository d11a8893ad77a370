//! What an answer says: which words apply, with their numbers. The words themselves stand in `present`.

mod behind;
mod circle;
mod compare;
mod contrast;
mod facets;
mod learnt;
mod plan;
mod rank;
mod rate;
mod wording;

pub use behind::{BehindFacts, Burst, Leads};
pub use circle::EverybodyFacts;
pub use compare::{CompareFacts, Flag};
pub use contrast::{ContrastFacts, Verdict};
pub use facets::{LevelFacts, Standing};
pub use learnt::LearntState;
pub use plan::{ApartFacts, BoldFacts, Expense, InPots, StickFacts, TryFacts, TryRole};
pub use rank::Ranked;
pub use rate::{BorrowedFacts, LOST_MATTERS, Lead, RateFacts, Rates, count_interval};
pub use wording::Wording;

use std::borrow::Cow;

pub use propagule_evidence::Family;
use propagule_evidence::{Filter, Moved, Question, WholeLife, Whose, WhyLeftOut};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Serialize};

/// A sentence of an answer. JSON has its words in its place.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(tag = "say", rename_all = "snake_case")]
#[non_exhaustive]
pub enum AnswerSaid {
    /// No words.
    #[default]
    Nothing,
    /// How often a method succeeds.
    Rate(Box<RateFacts>),
    /// A method that nobody has tried with the species.
    NeverTried {
        /// In whose words.
        wording: Wording,
        /// What other plants teach.
        rates: Rates,
        /// Trials of other species of the genus.
        trials_of_genus: usize,
        /// Trials of other species by this method.
        trials_of_method: usize,
    },
    /// How far learning from other plants is.
    Learnt {
        /// How far.
        state: LearntState,
        /// Trials learnt from.
        trials: usize,
        /// Trials held.
        of_trials: usize,
        /// Species.
        species: usize,
        /// Minutes since newer results came, where they did.
        fit_age: Option<u64>,
    },
    /// What other plants teach could not be worked out.
    NotLearnt,
    /// Several methods at once, of which no rate is given.
    SeveralMethods {
        /// Methods.
        methods: usize,
        /// Successes.
        rooted: u64,
        /// Propagules started.
        started: u64,
        /// Of which count.
        count: Question,
    },
    /// Two words of a detail, inside trials.
    Contrast(Box<ContrastFacts<String>>),
    /// Sides that differ in several details at once.
    Together {
        /// The words of one side.
        first: String,
        /// The words of the other side.
        second: String,
        /// Trials in which they did.
        trials: usize,
    },
    /// All methods in one model.
    Ranked(Ranked),
    /// What a word of a detail adds.
    Level(Box<LevelFacts<String>>),
    /// Successes first seen after a move.
    Moved {
        /// In whose words.
        wording: Wording,
        /// Which.
        moved: Moved,
    },
    /// The outcome in the end of the propagules.
    WholeLife {
        /// In whose words.
        wording: Wording,
        /// Its counts.
        life: WholeLife,
    },
    /// Stocks that were worked again.
    WorkedAgain {
        /// In whose words.
        wording: Wording,
        /// Successes.
        rooted: u32,
        /// Propagules started.
        started: u32,
        /// Trials.
        trials: usize,
    },
    /// How many to start, and what that costs.
    Stick {
        /// The number and what it rests on.
        facts: Box<StickFacts>,
        /// What it costs.
        expense: Option<Expense>,
    },
    /// How many to start by several methods.
    SeveralPlans {
        /// In whose words.
        wording: Wording,
        /// Successes wanted.
        want: u32,
        /// With which probability.
        sure: f64,
        /// Methods.
        methods: usize,
        /// Propagules to start by those that have a number.
        sticks: Vec<u32>,
    },
    /// What a trial of two treatments would show.
    Apart(Box<ApartFacts<String>>),
    /// What an untried treatment could show.
    Bold(BoldFacts),
    /// A method among those to try next.
    Try {
        /// Label of the method.
        method: String,
        /// Its rates.
        facts: TryFacts,
        /// Whether it is worth a trial, or what others are compared with.
        role: TryRole,
    },
    /// An own treatment against other growers.
    Compared(Box<CompareFacts>),
    /// An own treatment of a method that nobody else has tried.
    NobodyElse {
        /// Number or label of the treatment.
        arm: String,
        /// In whose words.
        wording: Wording,
        /// Own successes.
        rooted: u32,
        /// Own propagules started.
        started: u32,
    },
    /// Who stands behind an answer.
    Behind(Box<BehindFacts>),
    /// Methods that only growers not known here yet have tried.
    StrangersOnly {
        /// How many.
        methods: usize,
    },
    /// Nobody among the growers asked for has reported the species.
    NobodyAskedFor {
        /// The species.
        species: String,
        /// Who was asked for.
        whose: Whose,
        /// Trials of others.
        outside: usize,
    },
    /// No record of the species is held.
    NoEvidence {
        /// The species.
        species: String,
        /// Names that were perhaps meant.
        suggestions: Vec<String>,
        /// Species of which some are held.
        species_held: usize,
    },
    /// No treatment passes the filters.
    FilteredAway {
        /// The species.
        species: String,
        /// What treatments had to have.
        filters: Vec<Filter>,
    },
    /// Records are held, and none answers the question.
    NothingCounted {
        /// The species.
        species: String,
        /// The question.
        count: Question,
        /// Trials that are under way.
        pending: usize,
    },
    /// A fit did not settle, so nothing is claimed that rests on it.
    FitFailed,
    /// The growers asked for and everybody lie outside each other's intervals.
    CircleDiffers {
        /// The method, where there are several.
        method: Option<String>,
    },
    /// Methods that only others have tried.
    OutsideOnly {
        /// How many.
        methods: usize,
    },
    /// Trials of others that are left out of a comparison.
    OthersOutside {
        /// How many.
        trials: usize,
    },
    /// Opened trials that are overdue.
    SilentTrials {
        /// How many.
        silent: usize,
    },
    /// Methods that were never in one trial.
    NeverSideBySide,
    /// Some flags are chance.
    FalseFlags,
    /// Treatments that differ from the methods beside them in several things at once.
    RankNothing {
        /// How many.
        arms: usize,
    },
    /// A ranking over growers.
    RankedAcrossGrowers,
    /// Sizes of treatments in pots.
    SeveralPots,
    /// Columns of a table that are not used.
    UnusedColumns {
        /// Their names.
        columns: Vec<String>,
    },
    /// Growers of a table of whom no site is given.
    NoSite {
        /// Their labels.
        growers: Vec<String>,
    },
    /// Why something was not counted.
    LeftOut {
        /// Why.
        why: WhyLeftOut,
    },
}

/// As JSON shows it: in words.
impl JsonSchema for AnswerSaid {
    fn schema_name() -> Cow<'static, str> {
        "Words".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "string", "description": "A sentence of the program." })
    }
}
