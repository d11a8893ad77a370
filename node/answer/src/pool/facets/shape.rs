//! The shape of the joint facet model in JSON. Fields are only ever added.

use propagule_analysis::facets::Standing;
use propagule_analysis::verdict::Verdict;
use serde::{Deserialize, Serialize};

use crate::NotCounted;
use crate::said::AnswerSaid;
use propagule_evidence::FacetWords;

/// What each facet adds, everything else equal.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct FacetsAnswer {
    /// The kind of propagation that it is about.
    pub kind: String,
    /// Mean spread between growers, as log odds.
    pub grower_spread_mean: f64,
    /// Mean spread between the trials of a grower; null where one level of spread is fitted.
    pub trial_spread_mean: Option<f64>,
    /// One entry a facet.
    pub facets: Vec<FacetAnswer>,
    /// Groups of words that the evidence cannot separate.
    pub inseparable: Vec<Vec<String>>,
    /// Combinations tried, and promising ones that nobody has tried.
    pub combinations: Vec<CombinationAnswer>,
    /// Arms that are in the rates above and not in this model.
    pub left_out: Vec<NotCounted>,
}

/// One facet.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct FacetAnswer {
    /// Its name.
    pub facet: String,
    /// The word that the others are held against: the most tried.
    pub reference: String,
    /// Its words.
    pub levels: Vec<LevelAnswer>,
}

/// One word of a facet; effects are log odds ratios against the reference, `_q` = 2.5, 50 and 97.5 % points.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LevelAnswer {
    /// The word.
    pub level: String,
    /// In words.
    pub sentence: AnswerSaid,
    /// `likely` or `cannot_tell`.
    pub verdict: Verdict,
    /// Mean.
    pub log_or_mean: f64,
    /// Standard deviation.
    pub log_or_sd: f64,
    /// Quantiles.
    pub log_or_q: [f64; 3],
    /// Chance that it does better.
    pub prob_better_than_reference: f64,
    /// What the effect rests on.
    pub standing: Standing,
    /// Growers who tried it.
    pub growers: usize,
    /// Trials that hold it.
    pub trials: usize,
    /// Trials that hold it beside another word of the facet.
    pub side_by_side_trials: usize,
    /// Trials among them with one replicate an arm.
    pub single_replicate: usize,
    /// Pieces put in.
    pub started: u64,
    /// Successes.
    pub rooted: u64,
}

/// One word of each facet together.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CombinationAnswer {
    /// The words.
    pub facets: FacetWords,
    /// Whether anybody tried exactly this.
    pub tried: bool,
    /// Whether the rate is mostly our prior.
    pub rests_on_prior: bool,
    /// Average grower's rate.
    pub average_grower_rate_mean: f64,
    /// Its quantiles.
    pub average_grower_rate_q: [f64; 3],
    /// A new grower's range.
    pub new_grower_rate_q: [f64; 3],
    /// Growers who tried exactly this.
    pub growers: usize,
    /// Trials that hold it.
    pub trials: usize,
    /// Pieces put in.
    pub started: u64,
    /// Successes.
    pub rooted: u64,
}
