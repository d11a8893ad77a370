//! The shape of a plan in JSON, `propagule.plan/1`. Fields are only ever added.

use std::collections::BTreeMap;

use propagule_analysis::rate::RateSummary;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::behind::StandsBehind;
use crate::learnt::LearntAnswer;
use crate::said::{AnswerSaid, Expense, InPots};
use crate::{NotCounted, Source, Warning};
use propagule_evidence::{FacetWords, Outcome, Stage, Whose};

/// How many to start of one species, and what could be learned.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PlanAnswer {
    /// The species as asked for.
    pub species: String,
    /// Network or file.
    pub source: Source,
    /// Whose records count.
    pub whose: Whose,
    /// Who stands behind it; null where everybody's records are not asked for.
    #[serde(default)]
    pub behind: Option<StandsBehind>,
    /// Until when the data reach; null for a file.
    pub data_until: Option<String>,
    /// Which count.
    pub stage: Stage,
    /// What counts as success.
    pub outcome: Outcome,
    /// Details that split methods further; `none` where everything is pooled.
    pub by: Vec<String>,
    /// Details that treatments had to have.
    #[serde(rename = "where")]
    pub filters: BTreeMap<String, String>,
    /// Successes wanted.
    pub want: u32,
    /// With which probability.
    pub sure: f64,
    /// What to say first.
    pub sentence: AnswerSaid,
    /// One entry a method, sorted by label.
    pub methods: Vec<MethodPlan>,
    /// Propagules in each of two treatments: methods of the evidence first, then rates in general.
    pub tell_apart: Vec<TellApart>,
    /// What a treatment could show where nothing ever succeeded; null where something did.
    pub bold_arm: Option<BoldArm>,
    /// The same number of propagules at few growers or at many; empty where nothing ever succeeded.
    pub growers_or_pieces: Vec<GrowersOrPieces>,
    /// What trials of other methods are compared with: the reader's own method, else the one with the highest expected rate; null
    /// where there is nothing to compare.
    #[serde(default)]
    pub against: Option<Try>,
    /// Methods worth a trial beside that one, the trial worth most first; empty where none is likely to change what to do.
    pub next: Vec<Try>,
    /// How far learning from other plants is; null where it was not asked for.
    #[serde(default)]
    pub learnt: Option<LearntAnswer>,
    /// What was not counted, and why.
    pub left_out: Vec<NotCounted>,
    /// What else to know.
    pub warnings: Vec<Warning>,
    /// Species names close to the one asked for, when nothing is held of it.
    pub suggestions: Vec<String>,
    /// Cautions that the grower hid for this season, by their names.
    #[serde(default)]
    pub hidden_cautions: Vec<String>,
}

/// How many to start by one method.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct MethodPlan {
    /// Label.
    pub method: String,
    /// Details that make the method.
    pub facets: FacetWords,
    /// Propagules to start; null where no number can be given.
    pub stick: Option<u32>,
    /// `nothing_rooted` or `not_attainable`; null where there is a number.
    pub why_not: Option<WhyNot>,
    /// Whose next trial the number is for: `own`, with own counts, or `new_grower`.
    pub basis: Basis,
    /// The reader's own counts; null where there are none.
    pub own: Option<OwnCounts>,
    /// Mean rate of that next trial.
    pub next_trial_rate_mean: f64,
    /// Chance of at least the wanted successes from that many propagules; null where there is no number.
    pub chance: Option<f64>,
    /// Twenty equally likely numbers of successes from that many propagules, rising; null where there is no number.
    pub outcomes: Option<Vec<u32>>,
    /// Clusters.
    pub growers: usize,
    /// Trials.
    pub trials: usize,
    /// Propagules started.
    pub started: u32,
    /// Successes.
    pub rooted: u32,
    /// 95 % one-sided upper bound of the rate; null unless nothing succeeded.
    pub one_sided_upper: Option<f64>,
    /// The model of all growers.
    #[serde(flatten)]
    pub fit: RateSummary,
    /// What the number costs; null where there is no number or nothing was said of cost and time.
    pub expense: Option<Expense>,
    /// In words.
    pub sentence: AnswerSaid,
}

/// Why no number can be given.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum WhyNot {
    /// Nothing ever succeeded.
    NothingRooted,
    /// More propagules than anybody starts would be needed.
    NotAttainable,
}

/// Whose next trial a number is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Basis {
    /// The reader's, with own counts.
    Own,
    /// That of a grower not seen before.
    NewGrower,
}

/// The reader's own counts of a method.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct OwnCounts {
    /// Trials.
    pub trials: usize,
    /// Propagules started.
    pub started: u32,
    /// Successes.
    pub rooted: u32,
}

/// Whether a trial of two treatments would tell two rates apart.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct TellApart {
    /// Method of the first rate; null for a rate in general.
    pub first: Option<String>,
    /// Method of the second rate.
    pub second: Option<String>,
    /// One true rate.
    pub rate_a: f64,
    /// The other.
    pub rate_b: f64,
    /// Propagules in each treatment: half of those that can be spared, else those needed, 200 at most.
    pub per_arm: u32,
    /// Propagules in each treatment from which the power stays at `sure`; null above 200.
    pub needed_per_arm: Option<u32>,
    /// Chance that Fisher's two-sided test shows the difference at 0.05, if these were the true rates and pots never
    /// differed.
    pub power: f64,
    /// The same treatments in pots that differ as pots do, by the test that will judge the trial; null where propagules are the units.
    pub in_pots: Option<InPots>,
    /// The same averaged over what is not known of both average rates; null for rates in general.
    pub assurance: Option<f64>,
    /// In words.
    pub sentence: AnswerSaid,
}

/// What a treatment of so many propagules could show of a method with which nothing succeeded yet.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct BoldArm {
    /// Propagules.
    pub pieces: u32,
    /// The lowest true rate at which at least one success shows with probability `sure`.
    pub rate_shown: f64,
    /// 95 % one-sided upper bound of the rate of a new method if none of the propagules succeeds.
    pub upper_if_none: f64,
    /// The same for a method tried before without success: its earlier propagules and these.
    pub upper_if_none_again: Option<f64>,
    /// In words.
    pub sentence: AnswerSaid,
}

/// The same number of propagules spread over so many growers.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct GrowersOrPieces {
    /// The method with the highest average rate.
    pub method: String,
    /// Growers.
    pub growers: u32,
    /// Propagules at each.
    pub pieces_each: u32,
    /// 95 % range to which they alone would pin a typical grower's rate down.
    pub typical_rate_range: [f64; 2],
}

/// One method among those to try next.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Try {
    /// Label.
    pub method: String,
    /// Details that make the method.
    #[serde(default)]
    pub facets: FacetWords,
    /// Whether nobody has tried it with this species.
    #[serde(default)]
    pub never_tried: bool,
    /// Propagules started.
    pub started: u32,
    /// Successes.
    pub rooted: u32,
    /// Average grower's rate by the method's own counts; of one never tried what to expect of it.
    pub rate_alone: f64,
    /// The same beside the other methods and other plants: what to expect of it.
    pub rate_pooled: f64,
    /// A new grower's rate by that law, at 2.5 and 97.5 %.
    pub new_grower_range: [f64; 2],
    /// What winner's curse may take off: `rate_alone` less `rate_pooled`, where that is above 0.
    pub may_take_off: f64,
    /// By how much a trial beside `against` is expected to raise the rate afterwards; 0.02 is two more of every 100.
    #[serde(default)]
    pub worth: f64,
    /// In words.
    pub sentence: AnswerSaid,
}
