//! The shape of a comparison in JSON, `propagule.compare/1`. Fields are only ever added.

use propagule_analysis::compare::Band;
use propagule_analysis::rate::RateSummary;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::Warning;
use crate::behind::StandsBehind;
use crate::said::{AnswerSaid, Flag};
use propagule_evidence::{FacetWords, Outcome, Stage, Whose};

/// One trial against other growers, treatment by treatment.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CompareAnswer {
    /// The species as asked for.
    pub species: String,
    /// Label of the own trial.
    pub trial: String,
    /// Whose records count.
    pub whose: Whose,
    /// Who stands behind the others; null where everybody's records are not asked for.
    #[serde(default)]
    pub behind: Option<StandsBehind>,
    /// The place where the trial is taken to have stood; null for its own.
    pub at: Option<String>,
    /// Which count.
    pub stage: Stage,
    /// What counts as success.
    pub outcome: Outcome,
    /// Own treatments that somebody else's can be compared with.
    pub arms: Vec<ArmAnswer>,
    /// The others, nearest first within each treatment.
    pub peers: Vec<Peer>,
    /// What else to know.
    pub warnings: Vec<Warning>,
}

/// One own treatment against other growers.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ArmAnswer {
    /// Number or label of the treatment.
    pub arm: String,
    /// Label of its method.
    pub method: String,
    /// The details that make its method, with the word of each.
    #[serde(default)]
    pub facets: FacetWords,
    /// Details in which it differs from the other treatments of the trial.
    pub differs_in: FacetWords,
    /// Own propagules started.
    pub own_stuck: u32,
    /// Own successes.
    pub own_rooted: u32,
    /// Other growers in the model.
    pub growers: usize,
    /// Their trials.
    pub trials: usize,
    /// Most climate dimensions that a peer's region shares with the own one.
    pub dims: usize,
    /// What peers had to have in common, in order.
    pub matched_on: Vec<String>,
    /// Kish's effective number of peers by climate weight.
    pub effective_sites_kish: f64,
    /// Sum of climate weights.
    pub weight_total: f64,
    /// Whether these were enough; else all growers with the method are shown.
    pub enough: bool,
    /// The model of the peers shown.
    #[serde(flatten)]
    pub fit: RateSummary,
    /// Probability of each number of successes for the own number started.
    pub predictive: Vec<f64>,
    /// Chance of the own count or fewer.
    pub prob_at_most_own: f64,
    /// Chance of the own count or more.
    pub prob_at_least_own: f64,
    /// Chance of fewer, and half the chance of the own count.
    pub mid_p_percentile: f64,
    /// `inside`, `low` or `high`.
    pub flag: Flag,
    /// In words.
    pub sentence: AnswerSaid,
}

/// One other grower.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Peer {
    /// The own treatment that it is compared with.
    pub arm: String,
    /// Label of the grower.
    pub grower: String,
    /// Climate distance; null where nothing can be compared.
    pub distance: Option<f64>,
    /// Weight by climate.
    pub weight: f64,
    /// `close`, `similar`, `loose` or `different`; null where nothing can be compared.
    pub band: Option<Band>,
    /// Propagules started.
    pub started: u32,
    /// Successes.
    pub rooted: u32,
}
