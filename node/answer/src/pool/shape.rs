//! The shape of a pooled answer in JSON, `propagule.pool/1`. Fields are only ever added.

use std::collections::BTreeMap;

use propagule_analysis::contrast::ContrastFit;
use propagule_analysis::rate::RateSummary;
use propagule_analysis::shrunk::ShrunkEstimate;
use propagule_analysis::verdict::{Design, Scope, Verdict};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{FacetsAnswer, MovedAnswer, PrintedAnswer, RegraftsAnswer, WholeLifeAnswer};
use crate::behind::StandsBehind;
use crate::learnt::LearntAnswer;
use crate::said::{AnswerSaid, Lead};
use crate::{NotCounted, Source, Warning};
use propagule_evidence::{FacetWords, Family, Outcome, Silence, Stage, Whose};

/// Pooled rates of one species for one question.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PoolAnswer {
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
    /// What to say first.
    pub sentence: AnswerSaid,
    /// One entry a method, sorted by label.
    pub methods: Vec<MethodAnswer>,
    /// Methods that nobody has tried with the species, by what other plants teach, the highest average first.
    #[serde(default)]
    pub never_tried: Vec<NeverTriedAnswer>,
    /// How far learning from other plants is; null where it was not asked for.
    #[serde(default)]
    pub learnt: Option<LearntAnswer>,
    /// Details that differ alone inside at least one trial.
    pub contrasts: Vec<ContrastAnswer>,
    /// Sides that differ in several details at once.
    pub together: Vec<TogetherAnswer>,
    /// Methods linked by trials that hold several of them.
    pub components: Vec<Vec<String>>,
    /// Methods that only occur beside other methods in trials where nothing, or everything, succeeded.
    pub methods_without_information: Vec<String>,
    /// All methods in one model.
    pub network: Option<NetworkAnswer>,
    /// What each detail adds, everything else equal; null unless asked for.
    pub facets: Option<FacetsAnswer>,
    /// Whether that was asked for.
    pub facets_asked: bool,
    /// Trials opened and what became of them; null while nothing was opened.
    pub silence: Option<Silence>,
    /// What each grower moves; null unless asked for.
    pub influence: Option<Vec<Influence>>,
    /// What each author moves that brings several growers; null unless asked for.
    pub authors: Option<Vec<AuthorInfluence>>,
    /// What each vouch whom this home trusts moves; null unless asked for.
    pub vouches: Option<Vec<VouchInfluence>>,
    /// Other priors and classical results; null unless asked for.
    pub detail: Option<Vec<Detail>>,
    /// What was not counted, and why.
    pub left_out: Vec<NotCounted>,
    /// Stocks that were worked again, counted apart; null where none was left out with counts.
    pub regrafts: Option<RegraftsAnswer>,
    /// What else to know.
    pub warnings: Vec<Warning>,
    /// Species names close to the one asked for, when nothing is held of it.
    pub suggestions: Vec<String>,
    /// What stands in print of the species, which is in none of the above; null where nothing does.
    #[serde(default)]
    pub printed: Option<PrintedAnswer>,
}

/// One method's pooled rate.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct MethodAnswer {
    /// Label.
    pub method: String,
    /// Details that make the method.
    pub facets: FacetWords,
    /// Clusters.
    pub growers: usize,
    /// Authors.
    pub publishers: usize,
    /// Trials.
    pub trials: usize,
    /// Treatments.
    pub arms: usize,
    /// Treatments without any success.
    pub arms_none: usize,
    /// Propagules started.
    pub started: u32,
    /// Successes.
    pub rooted: u32,
    /// Propagules never scored.
    pub lost: u32,
    /// Propagules alive without being a success.
    pub still_waiting: u32,
    /// Treatments that share their trial with another treatment of the method.
    pub mixed_arms: usize,
    /// Fewest and most weeks to the count; null where unknown.
    pub weeks: Option<[u16; 2]>,
    /// 95 % one-sided upper bound of the rate; null unless nothing succeeded.
    pub one_sided_upper: Option<f64>,
    /// The model: what was learnt from other plants and the own counts, or the own counts alone.
    #[serde(flatten)]
    pub fit: RateSummary,
    /// What was borrowed from other plants; null where nothing was.
    #[serde(default)]
    pub borrowed: Option<BorrowedAnswer>,
    /// By the own counts alone; null where nothing was borrowed.
    #[serde(default)]
    pub without: Option<RateSummary>,
    /// Weights of the three laws: place and spread learnt, place learnt, nothing learnt; null where nothing was borrowed.
    #[serde(default)]
    pub law: Option<[f64; 3]>,
    /// In words.
    pub sentence: AnswerSaid,
    /// With lost propagules left out; null where none was lost.
    pub lost_left_out: Option<RateSummary>,
    /// With announced and overdue trials as nothing rooted; null where none is announced and overdue.
    pub silent_as_zero: Option<RateSummary>,
    /// With everybody's records; null unless `whose` leaves some out, or growers not known here yet are set apart.
    pub everybody: Option<EverybodyAnswer>,
    /// Successes that were first seen after a move, by where to; they are among those above.
    pub moved: Vec<MovedAnswer>,
    /// The outcome in the end of the propagules; null unless roots at lift are asked for and some count tells.
    pub whole_life: Option<WholeLifeAnswer>,
    /// In whose words it is said.
    pub family: Family,
    /// Which figure leads: the count alone, or the average grower's rate.
    pub lead: Lead,
}

impl MethodAnswer {
    /// By the own counts alone.
    pub fn alone(&self) -> &RateSummary {
        self.without.as_ref().unwrap_or(&self.fit)
    }
}

/// What a method's figures borrow from other plants.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct BorrowedAnswer {
    /// Trials of the species by this method.
    pub own_trials: usize,
    /// Their growers.
    pub own_growers: usize,
    /// Trials of other species of the genus.
    pub relative_trials_genus: usize,
    /// Trials of other species by this method.
    pub relative_trials_method: usize,
    /// How many growers' worth is borrowed.
    pub prior_growers: f64,
    /// The part that the own counts settled, 0..=1; below one half it is mostly borrowed.
    pub share: f64,
    /// Whether the own counts disagree with what is borrowed.
    pub conflict: bool,
    /// Whether the own counts lead for that, since the growers are not ones whom the reader trusts.
    pub own_counts_lead: bool,
}

/// A method that nobody has tried with the species.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct NeverTriedAnswer {
    /// Label.
    pub method: String,
    /// Details that make the method.
    pub facets: FacetWords,
    /// In whose words it is said.
    pub family: Family,
    /// What other plants teach.
    #[serde(flatten)]
    pub fit: RateSummary,
    /// From where.
    pub borrowed: BorrowedAnswer,
    /// Weights of the three laws.
    pub law: [f64; 3],
    /// In words.
    pub sentence: AnswerSaid,
}

/// A method's rate with everybody's records.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct EverybodyAnswer {
    /// Clusters.
    pub growers: usize,
    /// Trials.
    pub trials: usize,
    /// Propagules started.
    pub started: u32,
    /// Successes.
    pub rooted: u32,
    /// Whether it and the headline lie outside each other's intervals.
    pub differs: bool,
    /// The model.
    #[serde(flatten)]
    pub fit: RateSummary,
}

/// Two words of one detail compared inside trials.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ContrastAnswer {
    /// The detail that differs.
    pub facet: String,
    /// One word.
    pub first: String,
    /// The other word.
    pub second: String,
    /// Trials that hold both.
    pub trials: usize,
    /// Trials with one pot a treatment.
    pub single_replicate: usize,
    /// The model: trials with a difference to see, log odds ratio of the first against the second, probabilities.
    #[serde(flatten)]
    pub fit: ContrastFit,
    /// How the treatments of the only informative trial stand to each other; null where there are several, or none.
    pub design: Option<Design>,
    /// By what that trial's likelihood is tempered.
    pub phi: Option<f64>,
    /// How far the verdict reaches; null where no trial is informative.
    pub scope: Option<Scope>,
    /// That trial's own p; null where it gives none.
    pub p: Option<f64>,
    /// The side-by-side comparison among all of its detail, which allows for their number; null where the answer holds one pair.
    pub shrunk: Option<ShrunkAnswer>,
    /// A word of the bench's verdicts, or `likely`.
    pub verdict: Verdict,
    /// In words.
    pub sentence: AnswerSaid,
}

/// A side-by-side comparison shrunk towards no difference by what all levels of its detail show.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ShrunkAnswer {
    /// The model.
    #[serde(flatten)]
    pub estimate: ShrunkEstimate,
    /// Trials that it was fitted to.
    pub trials: usize,
    /// Trials that hold two words of the detail side by side.
    pub of_trials: usize,
}

/// Two sides that differ in several details at once: no winner, order or probability is given.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct TogetherAnswer {
    /// The words of one side.
    pub first: String,
    /// The words of the other side.
    pub second: String,
    /// The details that differ.
    pub facets: Vec<String>,
    /// Trials in which they did.
    pub trials: usize,
    /// `confounded`.
    pub verdict: Verdict,
    /// In words.
    pub sentence: AnswerSaid,
}

/// All methods in one model.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct NetworkAnswer {
    /// Labels, the first is the reference.
    pub methods: Vec<String>,
    /// How many are linked; those with most propagules are looked at.
    pub of_methods: usize,
    /// One more than there are methods clearly better.
    pub rank: Vec<usize>,
    /// Trials that the model was fitted to, and those that hold two methods side by side.
    pub fitted_trials: [usize; 2],
    /// Log odds ratio against the reference: means.
    pub d_mean: Vec<f64>,
    /// Standard deviations.
    pub d_sd: Vec<f64>,
    /// 2.5 % points.
    pub d_q025: Vec<f64>,
    /// 97.5 % points.
    pub d_q975: Vec<f64>,
    /// Mean level of trials.
    pub m_mean: f64,
    /// Mean spread of trials' levels.
    pub s_mean: f64,
    /// Mean spread of treatments beyond chance.
    pub tau_mean: f64,
    /// Probability of each rank, by method.
    pub rank_prob: Vec<Vec<f64>>,
    /// Probability that the row's method is better than the column's.
    pub prob_row_better_than_column: Vec<Vec<f64>>,
    /// Trials with a difference to see.
    pub trials: usize,
    /// Trials among them with one pot a treatment.
    pub single_replicate: usize,
    /// Successes of each method in them.
    pub rooted: Vec<u32>,
    /// Propagules of each method in them.
    pub started: Vec<u32>,
    /// In words.
    pub sentence: AnswerSaid,
}

/// What stands behind the headline of one method.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Detail {
    /// Label of the method.
    pub method: String,
    /// The headline with other widths of the spread's prior.
    pub sensitivity: Vec<Sensitivity>,
    /// Results of methods that readers know from elsewhere; none of them is a headline.
    pub classical: Classical,
}

/// The headline with another width of the prior of the spread between growers.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Sensitivity {
    /// Scale of the half-normal prior; 1 unless told otherwise.
    pub grower_sd: f64,
    /// Average grower's rate.
    pub average_grower_rate_mean: f64,
    /// Its quantiles.
    pub average_grower_rate_q: [f64; 3],
    /// A new grower's range.
    pub new_grower_rate_q: [f64; 3],
}

/// Classical results on one count a grower.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Classical {
    /// All propagules thrown together.
    pub crude_rate: f64,
    /// Binomial with normal spread by maximum likelihood; null where no estimate exists.
    pub maximum_likelihood: Option<ClassicalRate>,
    /// Log odds with 0.5 added where a cell is zero, by restricted maximum likelihood; null with one grower.
    pub restricted: Option<ClassicalRate>,
}

/// A typical grower's rate by a classical method.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ClassicalRate {
    /// Estimate.
    pub typical_grower_rate: f64,
    /// 95 % interval.
    pub interval: [f64; 2],
    /// Spread between growers on the logit scale.
    pub tau: f64,
}

impl ClassicalRate {
    /// From log odds.
    pub(super) fn new(mu: f64, [low, high]: [f64; 2], tau: f64) -> Self {
        let rate = |x: f64| 1.0 / (1.0 + (-x).exp());
        Self { typical_grower_rate: rate(mu), interval: [rate(low), rate(high)], tau }
    }
}

/// What the headline of a method is without one grower.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Influence {
    /// Label of the method.
    pub method: String,
    /// Label of the grower.
    pub grower: String,
    /// Average grower's rate of the others.
    pub average_grower_rate_without: f64,
    /// Spread between the others.
    pub tau_mean_without: f64,
    /// Where the grower's own count lies among what the others predict.
    pub mid_p_percentile: f64,
}

/// What the headline of a method is without one author that brings several growers.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct AuthorInfluence {
    /// Label of the method.
    pub method: String,
    /// Label of the author.
    pub author: String,
    /// Growers that it brings.
    pub growers: usize,
    /// Average grower's rate of the others; null where nobody else is left.
    pub average_grower_rate_without: Option<f64>,
}

/// What the headline of a method is without one vouch.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct VouchInfluence {
    /// Label of the method.
    pub method: String,
    /// The vouch, or the trust kept at home, is the reader's own.
    pub is_own: bool,
    /// Label of the grower who vouches.
    pub from: String,
    /// Label of the grower vouched for.
    pub to: String,
    /// Average grower's rate as it would be; null where nobody is left.
    pub average_grower_rate_without: Option<f64>,
}
