//! The shape of the joint facet model in JSON. Fields are only ever added.

use propagule_analysis::verdict::Verdict;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::NotCounted;
use crate::said::{AnswerSaid, Standing};
use propagule_evidence::FacetWords;

/// What each detail adds, everything else equal.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct FacetsAnswer {
    /// The kind of propagation that it is about.
    pub kind: String,
    /// Null: each detail is compared by itself, inside trials.
    pub grower_spread_mean: Option<f64>,
    /// Null as well.
    pub trial_spread_mean: Option<f64>,
    /// One entry a detail.
    pub facets: Vec<FacetAnswer>,
    /// Groups of words that the evidence cannot separate.
    pub inseparable: Vec<Vec<String>>,
    /// Combinations tried, each by its own treatments.
    pub combinations: Vec<CombinationAnswer>,
    /// Treatments that are in the rates above and not in this model.
    pub left_out: Vec<NotCounted>,
}

/// One detail.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct FacetAnswer {
    /// Its name.
    pub facet: String,
    /// The word that the others are held against: the most tried.
    pub reference: String,
    /// Its words.
    pub levels: Vec<LevelAnswer>,
}

/// One word of a detail; effects are log odds ratios against the reference, `_q` = 2.5, 50 and 97.5 % points.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LevelAnswer {
    /// The word.
    pub level: String,
    /// In words.
    pub sentence: AnswerSaid,
    /// As in the side-by-side comparison of the two words.
    pub verdict: Verdict,
    /// Mean; this and what follows is null where the two were never compared, or never alone.
    pub log_or_mean: Option<f64>,
    /// Standard deviation.
    pub log_or_sd: Option<f64>,
    /// Quantiles.
    pub log_or_q: Option<[f64; 3]>,
    /// Chance that it does better.
    pub prob_better_than_reference: Option<f64>,
    /// What the effect rests on.
    pub standing: Standing,
    /// Growers who tried it.
    pub growers: usize,
    /// Trials that hold it.
    pub trials: usize,
    /// Trials that hold it beside the reference, everything else equal.
    pub side_by_side_trials: usize,
    /// Trials among them with one pot a treatment.
    pub single_replicate: usize,
    /// Propagules started.
    pub started: u64,
    /// Successes.
    pub rooted: u64,
}

/// One word of each detail together.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CombinationAnswer {
    /// The words.
    pub facets: FacetWords,
    /// Whether anybody tried exactly this.
    pub tried: bool,
    /// Whether the rate is mostly the model's starting assumption.
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
    /// Propagules started.
    pub started: u64,
    /// Successes.
    pub rooted: u64,
}
