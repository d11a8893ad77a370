//! Sentences about how often a method succeeds. A number never stands alone.

use propagule_answer::said::{BorrowedFacts, Lead, RateFacts, Rates, Wording, count_interval};
use propagule_evidence::Outcome;

use super::sentences::borrowed::{self, Likeness};
use super::sentences::per_cent;
use super::sentences::pooled::{self, RestsOn};
use super::vocabulary::PieceWords;
use super::{InWords, Of};
use crate::kind::KindWords;
use crate::number::{percent, percent_range, percent_with_range};

impl Of<'_, RateFacts> {
    /// The whole sentence, the data date apart.
    fn sentence(&self) -> String {
        let mut parts = vec![self.headline()];
        parts.extend(self.model_words());
        parts.extend(self.borrowed_words());
        parts.extend(self.waiting_words());
        parts.extend(self.lost_words());
        parts.push(self.basis());
        parts.join(" ")
    }

    fn kind(&self) -> KindWords {
        self.wording.kind()
    }

    const fn of(&self) -> Outcome {
        self.0.wording.outcome
    }

    /// The leading sentence alone.
    pub(super) fn headline(&self) -> String {
        match self.lead() {
            Lead::None => none_of(self.wording, self.started),
            Lead::All => all_of(self.wording, self.started),
            Lead::OneGrower if self.succeeded == self.started => all_of(self.wording, self.started),
            Lead::OneGrower => pooled::one_grower(
                &self.kind(),
                self.of(),
                (self.succeeded, self.started),
                self.own_interval(),
            ),
            Lead::Average => {
                pooled::average(&self.kind(), self.of(), self.rates.average, self.rates.average_points)
            }
        }
    }

    /// What the model adds to the leading count, or the range of a grower not in the data.
    fn model_words(&self) -> Vec<String> {
        let kind = self.kind();
        let rates = &self.rates;
        match (self.lead(), self.growers) {
            (_, 1) => {
                let joined = self.marks_joined.then(|| pooled::one_publisher(&kind));
                let others = match self.taught() {
                    Some(_) => borrowed::taught_one_grower(
                        &kind,
                        rates.average,
                        rates.average_points,
                        rates.new_grower_points,
                    ),
                    None => pooled::one_grower_assumed(&kind, rates.new_grower_points),
                };
                joined.into_iter().chain([others]).collect()
            }
            (Lead::None, _) if let Some(taught) = self.taught() => vec![
                borrowed::taught_none_average(
                    &kind,
                    rates.average,
                    rates.average_points,
                    taught.without.average_points[2],
                ),
                pooled::not_in_the_data(&kind, rates.new_grower_points),
            ],
            (Lead::None, _) => vec![
                pooled::none_average(&kind, rates.average, rates.average_points),
                pooled::not_in_the_data(&kind, rates.new_grower_points),
            ],
            (Lead::All, _) => vec![
                pooled::average(&kind, self.of(), rates.average, rates.average_points),
                pooled::not_in_the_data(&kind, rates.new_grower_points),
            ],
            _ => vec![pooled::next_trial(&kind, rates.new_grower_points)],
        }
    }

    /// What was borrowed, where that leads.
    fn taught(&self) -> Option<BorrowedFacts> {
        self.borrowed.filter(|borrowed| !borrowed.own_counts_lead)
    }

    /// What the figure rests on beside its own trials, and what it is without them.
    fn borrowed_words(&self) -> Vec<String> {
        let Some(facts) = self.borrowed else { return Vec::new() };
        let kind = self.kind();
        let conflict = facts.conflict.then(|| borrowed::conflict(&kind, facts.own_counts_lead));
        if facts.own_counts_lead {
            return conflict.into_iter().collect();
        }
        let likeness = Likeness {
            genus: facts.relative_trials_genus,
            method: facts.relative_trials_method,
            worth: facts.prior_growers,
            is_most: facts.is_most(),
        };
        let rests_on = borrowed::rests_on(&kind, self.trials, &likeness);
        let Rates { average, average_points, .. } = facts.without;
        // Where the count leads, it is what the own trials say alone.
        let alone = (!self.lead().is_count())
            .then(|| borrowed::own_alone(&kind, self.trials, average, average_points));
        [Some(rests_on), alone, conflict].into_iter().flatten().collect()
    }

    fn waiting_words(&self) -> Option<String> {
        (self.still_waiting > 0).then(|| pooled::waiting(&self.kind(), self.still_waiting))
    }

    /// The other reading of lost ones, where it matters.
    fn lost_words(&self) -> Option<String> {
        let other = self.lost_left_out.filter(|_| self.lost > 0 && self.lost_matters())?;
        let without = if self.growers == 1 {
            let scored = self.started.saturating_sub(self.lost).max(1);
            format!(
                "{} of {scored} ({})",
                self.succeeded,
                per_cent(f64::from(self.succeeded) / f64::from(scored))
            )
        } else {
            format!("an average of {}", percent_with_range(other.average, other.average_points))
        };
        let said = pooled::lost_before_count(&self.kind(), self.lost, &without);
        Some(if self.order_flips { format!("{said} {}", pooled::lost_flips(&self.kind())) } else { said })
    }

    /// Growers, trials, how many were started, treatments with none, and weeks to the count.
    pub(super) fn basis(&self) -> String {
        let (growers, publishers) = if self.marks_joined && self.growers == 1 {
            (None, Some(1))
        } else {
            (Some(self.growers), (self.publishers < self.growers).then_some(self.publishers))
        };
        let basis = RestsOn {
            growers,
            publishers,
            trials: self.trials,
            started: self.started,
            none: self.arms_none,
            treatments: self.arms,
            weeks: self.weeks,
        };
        pooled::basis(&self.kind(), self.of(), &basis)
    }
}

impl InWords for RateFacts {
    fn words(&self) -> String {
        Of(self).sentence()
    }
}

/// Rate and interval of a count by itself in short, or the one-sided bound where none or all succeeded.
pub fn count_reading(succeeded: u32, started: u32) -> String {
    let (low, high) = count_interval(succeeded, started);
    if succeeded == 0 {
        format!("up to {}%", percent(high))
    } else if succeeded == started {
        format!("{}% or more", percent(low))
    } else {
        let rate = f64::from(succeeded) / f64::from(started);
        format!("{}% ({})", percent(rate), percent_range(low, high))
    }
}

/// None succeeded: the count and its bound.
pub fn none_of(wording: Wording, started: u32) -> String {
    pooled::none(&wording.kind(), wording.outcome, started, count_interval(0, started).1)
}

/// All succeeded: the count and its bound.
pub fn all_of(wording: Wording, started: u32) -> String {
    pooled::all(&wording.kind(), wording.outcome, started, count_interval(started, started).0)
}

/// Several methods at once: the crude count only, since it is not a rate of anything.
pub fn several_methods(methods: usize, succeeded: u64, started: u64, question: &str) -> String {
    pooled::several_methods(
        &KindWords::of_family(super::Family::Mixed),
        methods,
        succeeded,
        started,
        question,
    )
}

/// Where nothing or everything succeeded the likelihood rises without limit.
pub const NO_MAXIMUM: &str = "no estimate exists, the outcome is the same everywhere";

/// Said below classical results.
pub const CLASSICAL: &str = "Maximum likelihood and the normal model stand here for comparison only. Their intervals are too narrow with few \
     growers, and adding 0.5 pulls rates towards one half.";

/// Said behind the name of a method with which nothing succeeded.
pub const MOSTLY_PRIOR: &str =
    " (nothing succeeded: averages rest mostly on the model's starting assumption)";
