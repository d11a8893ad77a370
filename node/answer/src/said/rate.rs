//! What is said of how often a method succeeds.

use propagule_analysis::rate::RateSummary;
use propagule_analysis::{Count, interval};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Wording;

/// Average and new grower, from a fit.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Rates {
    /// Average grower's rate, posterior mean.
    pub average: f64,
    /// Its 2.5, 50 and 97.5 % points.
    pub average_points: [f64; 3],
    /// A new grower's rate at 2.5, 50 and 97.5 %.
    pub new_grower_points: [f64; 3],
}

impl From<&RateSummary> for Rates {
    fn from(fit: &RateSummary) -> Self {
        Self {
            average: fit.average_grower_rate_mean,
            average_points: fit.average_grower_rate_q,
            new_grower_points: fit.new_grower_rate_q,
        }
    }
}

/// What a rate borrows from other plants.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct BorrowedFacts {
    /// Trials of other species of the genus.
    pub relative_trials_genus: usize,
    /// Trials of other species by this method.
    pub relative_trials_method: usize,
    /// How many growers' worth that is.
    pub prior_growers: f64,
    /// The part that the own counts settled.
    pub share: f64,
    /// Whether the own counts disagree with it.
    pub conflict: bool,
    /// Whether the own counts lead for that.
    pub own_counts_lead: bool,
    /// By the own counts alone.
    pub without: Rates,
}

impl BorrowedFacts {
    /// Whether the own counts settle less than half.
    pub fn is_most(&self) -> bool {
        self.share < 0.5
    }
}

/// What a rate sentence is made of.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct RateFacts {
    /// Words for the propagules and the outcome.
    pub wording: Wording,
    /// Propagules started, successes, lost propagules, propagules alive without success.
    pub started: u32,
    /// Successes.
    pub succeeded: u32,
    /// Never scored.
    pub lost: u32,
    /// Alive without being a success.
    pub still_waiting: u32,
    /// Clusters.
    pub growers: usize,
    /// Authors.
    pub publishers: usize,
    /// Whether growers of one publisher were joined into one.
    pub marks_joined: bool,
    /// Trials.
    pub trials: usize,
    /// Treatments.
    pub arms: usize,
    /// Treatments without any success.
    pub arms_none: usize,
    /// Fewest and most weeks from starting to the count, where they are known.
    pub weeks: Option<(u16, u16)>,
    /// What the model makes of it.
    pub rates: Rates,
    /// What was borrowed from other plants, where anything was.
    #[serde(default)]
    pub borrowed: Option<BorrowedFacts>,
    /// The same with lost propagules left out, when there are any.
    pub lost_left_out: Option<Rates>,
    /// Leaving lost propagules out changes the order of methods.
    pub order_flips: bool,
}

/// Both readings are shown when they are this far apart.
pub const LOST_MATTERS: f64 = 0.05;

/// Which sentence leads.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Lead {
    /// Nothing succeeded: the count and its one-sided bound.
    None,
    /// One grower: the own count and its interval.
    OneGrower,
    /// Everything succeeded: the count and its one-sided bound.
    All,
    /// The average grower.
    Average,
}

impl Lead {
    /// Whether the count stands for itself: a pooled-looking middle would be the model's starting assumption.
    pub const fn is_count(self) -> bool {
        matches!(self, Self::None | Self::OneGrower)
    }
}

impl RateFacts {
    /// Which sentence leads.
    pub fn lead(&self) -> Lead {
        if self.succeeded == 0 {
            Lead::None
        } else if self.growers == 1 {
            Lead::OneGrower
        } else if self.succeeded == self.started {
            Lead::All
        } else {
            Lead::Average
        }
    }

    /// What the count alone fits: Wilson's interval, one-sided where none or all succeeded.
    pub fn own_interval(&self) -> (f64, f64) {
        count_interval(self.succeeded, self.started)
    }

    /// By the own counts alone.
    pub fn alone(&self) -> Rates {
        self.borrowed.map_or(self.rates, |borrowed| borrowed.without)
    }

    /// Whether leaving lost propagules out moves the headline by 5 points or changes an order.
    pub fn lost_matters(&self) -> bool {
        let moved = match self.lost_left_out {
            Some(_) if self.growers == 1 => {
                let scored = f64::from(self.started.saturating_sub(self.lost).max(1));
                f64::from(self.succeeded) / scored - f64::from(self.succeeded) / f64::from(self.started)
            }
            Some(other) => (other.average - self.alone().average).abs(),
            None => 0.0,
        };
        self.order_flips || moved >= LOST_MATTERS
    }
}

/// What a count alone fits: Wilson's 95 % interval, one-sided where none or all succeeded.
pub fn count_interval(succeeded: u32, started: u32) -> (f64, f64) {
    let count = count(succeeded, started);
    if succeeded == 0 {
        (0.0, interval::one_sided_upper(count, 0.95))
    } else if succeeded == started {
        (interval::one_sided_lower(count, 0.95), 1.0)
    } else {
        interval::wilson(count, 0.95)
    }
}

fn count(succeeded: u32, started: u32) -> Count {
    Count::new(started, succeeded).expect("rows hold no more successes than pieces put in")
}
