//! What several trials say together, in the words in which one trial says it.

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Design, Verdict};

/// P(first better on average) from which, or the other way round, trials together are clear: two-sided 5 %, as at the bench.
pub const CLEAR_POOLED: f64 = 0.975;
/// Informative trials with one pot a treatment that together may be judged.
const ENOUGH_SINGLES: usize = 3;

/// How far what is said reaches.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Scope {
    /// One informative trial.
    OneTrial,
    /// Several of one grower.
    OneGrower,
    /// Several growers.
    Growers,
}

/// One trial that holds both methods.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Held {
    /// Number of its grower.
    pub grower: usize,
    /// How its treatments stand to each other.
    pub design: Design,
    /// Whether it says anything of the odds ratio.
    pub is_informative: bool,
}

/// The verdict of all trials together, and how far it reaches; of a single informative one it is `alone`, the trial's own.
/// Trials with one pot a treatment are each other's pots from three informative ones of two growers on.
///
/// ```
/// use propagule_analysis::verdict::{Design, Held, Scope, Verdict, pooled};
///
/// let single = |grower| Held { grower, design: Design::Single, is_informative: true };
/// assert_eq!(pooled(&[single(1), single(2)], 0.99, None), (Verdict::SingleUnit, Some(Scope::Growers)));
/// assert_eq!(pooled(&[single(1), single(2), single(2)], 0.99, None), (Verdict::Likely, Some(Scope::Growers)));
/// ```
pub fn pooled(trials: &[Held], prob_first_better: f64, alone: Option<Verdict>) -> (Verdict, Option<Scope>) {
    let informative: Vec<&Held> = trials.iter().filter(|trial| trial.is_informative).collect();
    let growers: BTreeSet<usize> = informative.iter().map(|trial| trial.grower).collect();
    let scope = match (informative.len(), growers.len()) {
        (0, _) if trials.is_empty() => return (Verdict::NeverCompared, None),
        (0, _) => return (Verdict::NothingToSee, None),
        (1, _) => return (alone.unwrap_or(Verdict::CannotTell), Some(Scope::OneTrial)),
        (_, 1) => Scope::OneGrower,
        _ => Scope::Growers,
    };
    let are_single = informative.iter().all(|trial| trial.design == Design::Single);
    let is_clear = prob_first_better.max(1.0 - prob_first_better) >= CLEAR_POOLED;
    let verdict = if are_single && (informative.len() < ENOUGH_SINGLES || growers.len() < 2) {
        Verdict::SingleUnit
    } else if is_clear {
        Verdict::Likely
    } else {
        Verdict::CannotTell
    };
    (verdict, Some(scope))
}
