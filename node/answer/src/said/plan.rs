//! What a plan says: how many to start, what a trial would show, what to try next.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Wording;

/// What the sentence on how many to start is made of.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct StickFacts {
    /// Words for the propagules and the outcome.
    pub wording: Wording,
    /// Successes wanted.
    pub want: u32,
    /// With which probability.
    pub sure: f64,
    /// Propagules to start; `None` where there is no number.
    pub stick: Option<u32>,
    /// Propagules beyond which no plan is sensible.
    pub most: u32,
    /// Propagules started by all growers.
    pub started: u32,
    /// Their successes.
    pub succeeded: u32,
    /// Growers.
    pub growers: usize,
    /// The reader's own successes and propagules, where there are any.
    pub own: Option<(u32, u32)>,
}

/// Money and time of a number of propagules.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Expense {
    /// Money for all propagules; null where no cost was given.
    pub cost: Option<f64>,
    /// Money for each success wanted.
    pub cost_per_wanted: Option<f64>,
    /// Minutes for all propagules; null where no time was given.
    pub minutes: Option<f64>,
    /// Minutes for each success wanted.
    pub minutes_per_wanted: Option<f64>,
}

/// What a trial of two treatments would show.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct ApartFacts<T> {
    /// Method of the first rate; `None` for a rate in general.
    pub first: Option<T>,
    /// Method of the second rate.
    pub second: Option<T>,
    /// Both true rates.
    pub rates: (f64, f64),
    /// Wanted chance of showing the difference.
    pub sure: f64,
    /// Propagules in each treatment.
    pub per_arm: u32,
    /// Propagules in each treatment that are needed; `None` above `most`.
    pub needed: Option<u32>,
    /// Chance of showing the difference if these were the true rates and pots never differed.
    pub power: f64,
    /// The same treatments in pots; `None` where propagules are the units.
    pub in_pots: Option<InPots>,
    /// Power averaged over what is not known of both rates.
    pub assurance: Option<f64>,
}

/// Treatments in pots, and what they would show.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct InPots {
    /// Pots of each treatment.
    pub pots: u32,
    /// Propagules in each.
    pub pieces: u32,
    /// Correlation of two propagules of a pot.
    pub icc: f64,
    /// Chance that the difference is shown, if these were the true rates.
    pub power: f64,
    /// Pots of each treatment from which that chance reaches `sure`; null above 30.
    pub needed_pots: Option<u32>,
}

/// What an untried treatment could show.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct BoldFacts {
    /// Propagules of the treatment.
    pub pieces: u32,
    /// Wanted chance.
    pub sure: f64,
    /// Lowest true rate at which one success shows with that chance.
    pub rate_shown: f64,
    /// Upper bound of the rate if none succeeds.
    pub upper_if_none: f64,
    /// Upper bound of the method tried so far, now and with as many propagules more.
    pub again: Option<(f64, f64)>,
}

/// One method among those to try next, or that which they are compared with.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct TryFacts {
    /// Words for the outcome.
    pub wording: Wording,
    /// Propagules started.
    pub started: u32,
    /// Successes.
    pub succeeded: u32,
    /// Average rate by the method's own counts.
    pub alone: f64,
    /// What to expect of it beside the other methods and other plants.
    pub pooled: f64,
    /// A new grower's rate by that law, 2.5 and 97.5 %.
    pub range: [f64; 2],
    /// Trials of its relatives, and of the method with other plants, where nobody has tried it with this one.
    pub never_tried: Option<[usize; 2]>,
}

/// What a method is among those to try next.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum TryRole {
    /// Compared with: the reader's own, or the best of so many. `pays` where a trial of another is likely to change that.
    Against {
        /// Methods that were tried, where it is the best of them; none where it is the reader's own.
        best_of: Option<usize>,
        /// Whether any trial pays.
        pays: bool,
    },
    /// Worth a trial; so much is the rate afterwards expected to rise by it.
    Worth(f64),
}
