//! What an answer says: which words apply, with their numbers.

use std::borrow::Cow;

use propagule_evidence::{Family, Filter, Moved, Question, WholeLife, Whose, WhyLeftOut};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Serialize};

use super::circle::{PART_NOT_JOINED, circle_differs, nobody_asked_for, others_outside, outside_only};
use super::compare::{CompareFacts, FALSE_FLAGS, nobody_else};
use super::contrast::{ContrastFacts, always_together};
use super::facets::LevelFacts;
use super::left_out::left_out;
use super::life::{moved, whole_life};
use super::nothing::{NEVER_SIDE_BY_SIDE, filtered_away, no_evidence, nothing_counted};
use super::plan::{
    ApartFacts, BoldFacts, RANKED_ACROSS_GROWERS, SEVERAL_POTS, StickFacts, TryFacts, rank_nothing,
    several_plans,
};
use super::rank::Ranked;
use super::rate::{RateFacts, several_methods};
use super::regraft::regrafts;
use super::silence::silent_trials;
use super::vocabulary::{Wording, question_words};
use crate::plan::Expense;

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
    /// Several methods at once, of which no rate is given.
    SeveralMethods {
        /// Methods.
        methods: usize,
        /// Successes.
        rooted: u64,
        /// Pieces put in.
        started: u64,
        /// Of which count.
        count: Question,
    },
    /// Two words of a facet, inside trials.
    Contrast(Box<ContrastFacts<String>>),
    /// Sides that differ in several facets at once.
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
    /// What a word of a facet adds.
    Level(Box<LevelFacts<String>>),
    /// Successes first seen after a move.
    Moved {
        /// In whose words.
        wording: Wording,
        /// Which.
        moved: Moved,
    },
    /// The whole life of the pieces.
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
        /// Pieces put in.
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
        /// Pieces to start by those that have a number.
        sticks: Vec<u32>,
    },
    /// What a trial of two arms would show.
    Apart(Box<ApartFacts<String>>),
    /// What a bold arm could show.
    Bold(BoldFacts),
    /// A method among those to try next.
    Try {
        /// Label of the method.
        method: String,
        /// Its rates.
        facts: TryFacts,
    },
    /// An own arm against other growers.
    Compared(Box<CompareFacts>),
    /// An own arm of a method that nobody else has tried.
    NobodyElse {
        /// Number or label of the arm.
        arm: String,
        /// In whose words.
        wording: Wording,
        /// Own successes.
        rooted: u32,
        /// Own pieces put in.
        started: u32,
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
    /// No arm passes the filters.
    FilteredAway {
        /// The species.
        species: String,
        /// What arms had to have.
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
    /// Growers who count in part are missing from the one model.
    PartNotJoined,
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
    /// Arms that differ from the methods beside them in several things at once.
    RankNothing {
        /// How many.
        arms: usize,
    },
    /// A ranking over growers.
    RankedAcrossGrowers,
    /// Sizes of arms in pots.
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

impl AnswerSaid {
    /// The words.
    pub fn words(&self) -> String {
        match self {
            Self::Nothing => String::new(),
            Self::Rate(facts) => facts.sentence(),
            Self::SeveralMethods { methods, rooted, started, count } => {
                several_methods(*methods, *rooted, *started, &of_any(*count))
            }
            Self::Contrast(facts) => facts.sentence(),
            Self::Together { first, second, trials } => always_together(first, second, *trials),
            Self::Ranked(ranked) => ranked.sentence(),
            Self::Level(facts) => facts.sentence(),
            Self::Moved { wording, moved: of } => moved(*wording, of),
            Self::WholeLife { wording, life } => whole_life(*wording, life),
            Self::WorkedAgain { wording, rooted, started, trials } => {
                regrafts(*wording, *rooted, *started, *trials)
            }
            Self::Compared(facts) => facts.sentence(),
            Self::NobodyElse { arm, wording, rooted, started } => {
                format!("Arm {arm}: {}", nobody_else(*wording, *rooted, *started))
            }
            Self::Stick { .. }
            | Self::SeveralPlans { .. }
            | Self::Apart(_)
            | Self::Bold(_)
            | Self::Try { .. } => self.of_a_plan(),
            _ => self.beside(),
        }
    }

    fn of_a_plan(&self) -> String {
        match self {
            Self::Stick { facts, expense } => facts.sentence(expense.as_ref()),
            Self::SeveralPlans { wording, want, sure, methods, sticks } => {
                several_plans(*wording, *want, *sure, *methods, sticks)
            }
            Self::Apart(facts) => facts.sentence(),
            Self::Bold(facts) => facts.sentence(),
            Self::Try { method, facts } => facts.sentence(method),
            _ => String::new(),
        }
    }

    /// Why there is no answer, and what else to know.
    fn beside(&self) -> String {
        match self {
            Self::NobodyAskedFor { species, whose, outside } => nobody_asked_for(species, *whose, *outside),
            Self::NoEvidence { species, suggestions, species_held } => {
                no_evidence(species, suggestions, *species_held)
            }
            Self::FilteredAway { species, filters } => {
                let said = filters.iter().map(|filter| format!("{} {}", filter.facet, filter.value));
                filtered_away(species, &said.collect::<Vec<_>>().join(", "))
            }
            Self::NothingCounted { species, count, pending } => {
                nothing_counted(species, &of_any(*count), *pending)
            }
            Self::CircleDiffers { method } => circle_differs(method.as_deref()),
            Self::OutsideOnly { methods } => outside_only(*methods),
            Self::OthersOutside { trials } => others_outside(*trials),
            Self::SilentTrials { silent } => silent_trials(*silent),
            Self::RankNothing { arms } => rank_nothing(*arms),
            Self::UnusedColumns { columns } => format!("columns not used: {}", columns.join(", ")),
            Self::NoSite { growers } => format!("growers without a site: {}", growers.join(", ")),
            _ => self.always().to_owned(),
        }
    }

    /// Words without a number.
    const fn always(&self) -> &'static str {
        match self {
            Self::PartNotJoined => PART_NOT_JOINED,
            Self::NeverSideBySide => NEVER_SIDE_BY_SIDE,
            Self::FalseFlags => FALSE_FLAGS,
            Self::RankedAcrossGrowers => RANKED_ACROSS_GROWERS,
            Self::SeveralPots => SEVERAL_POTS,
            Self::LeftOut { why } => left_out(*why),
            _ => "",
        }
    }
}

/// A question in words for pieces of any kind.
fn of_any(count: Question) -> String {
    question_words(Wording::new(Family::Mixed, count.outcome), count.stage)
}
