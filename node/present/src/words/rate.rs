//! Sentences about how often a method succeeds. A number never stands alone.

use propagule_answer::said::{Lead, RateFacts, Wording, count_interval};

use super::vocabulary::PieceWords;
use super::{InWords, Of, counted};
use crate::number::{
    end_in_hundred, grouped, in_hundred, percent, percent_range, percent_with_range, small_number,
};

impl Of<'_, RateFacts> {
    /// The whole sentence, the data date apart.
    fn sentence(&self) -> String {
        let mut parts = vec![self.headline(), self.model_words()];
        parts.extend(self.waiting_words());
        parts.extend(self.lost_words());
        parts.push(self.basis());
        parts.join(" ")
    }

    /// The leading sentence alone.
    pub(super) fn headline(&self) -> String {
        match self.lead() {
            Lead::None => self.none_succeeded(),
            Lead::OneGrower => self.one_grower(),
            Lead::All => self.all_succeeded(),
            Lead::Average => self.average(),
        }
    }

    fn none_succeeded(&self) -> String {
        none_of(self.wording, self.started)
    }

    fn all_succeeded(&self) -> String {
        all_of(self.wording, self.started)
    }

    fn one_grower(&self) -> String {
        if self.succeeded == self.started {
            return self.all_succeeded();
        }
        let (low, high) = self.own_interval();
        format!(
            "{} of {} {}: {} %, and the count alone fits {}.",
            grouped(u64::from(self.succeeded)),
            grouped(u64::from(self.started)),
            self.wording.did(),
            percent(f64::from(self.succeeded) / f64::from(self.started)),
            percent_range(low, high),
        )
    }

    fn average(&self) -> String {
        let [low, _, high] = self.rates.average_points;
        format!(
            "Averaged over growers, about {} in 100 {}; the data fit anything from {} to {}.",
            in_hundred(self.rates.average),
            self.wording.verb(),
            end_in_hundred(low),
            end_in_hundred(high),
        )
    }

    /// What the model adds to the leading count, or the new grower's range.
    fn model_words(&self) -> String {
        let [low, _, high] = self.rates.new_grower_points;
        let average = percent_with_range(self.rates.average, self.rates.average_points);
        let new_grower = percent_range(low, high);
        match (self.lead(), self.growers) {
            (_, 1) => self.guess_words(&new_grower),
            (Lead::None, _) => {
                format!("Mostly our prior: average grower {average}, a new grower {new_grower}.")
            }
            (Lead::All, _) => format!("Averaged over growers {average}, a new grower {new_grower}."),
            _ => format!(
                "At your place expect between {} and {} in 100; growers differ that much.",
                end_in_hundred(low),
                end_in_hundred(high),
            ),
        }
    }

    fn guess_words(&self, new_grower: &str) -> String {
        let whose = if self.marks_joined {
            "One publisher's results, counted as one grower."
        } else {
            "One grower's result."
        };
        format!("{whose} How much others would differ is a guess built in by us: a new grower {new_grower}.")
    }

    fn waiting_words(&self) -> Option<String> {
        match self.still_waiting {
            0 => None,
            1 => Some("1 was still alive and waiting.".to_owned()),
            waiting => Some(format!("{} were still alive and waiting.", grouped(u64::from(waiting)))),
        }
    }

    /// The other reading of unscored pieces, where it matters.
    fn lost_words(&self) -> Option<String> {
        let other = self.lost_left_out.filter(|_| self.lost > 0 && self.lost_matters())?;
        let left_out = if self.growers == 1 {
            let scored = self.started.saturating_sub(self.lost).max(1);
            let rate = f64::from(self.succeeded) / f64::from(scored);
            format!("{} of {scored}, {} %", self.succeeded, percent(rate))
        } else {
            format!("average {}", percent_with_range(other.average, other.average_points))
        };
        let order = if self.order_flips { " That changes the order of the methods." } else { "" };
        Some(format!(
            "{} lost before anybody scored them, counted as failures; without them {left_out}.{order}",
            self.lost
        ))
    }

    fn weeks_words(&self) -> String {
        match self.weeks {
            None => String::new(),
            Some((1, 1)) => "; counted after 1 week".to_owned(),
            Some((fewest, most)) if fewest == most => format!("; counted after {fewest} weeks"),
            Some((fewest, most)) => format!("; counted after {fewest} to {most} weeks"),
        }
    }

    /// Growers, trials, pieces, arms with none, and weeks to the count.
    pub(super) fn basis(&self) -> String {
        let growers = if self.marks_joined && self.growers == 1 {
            "1 publisher".to_owned()
        } else if self.publishers < self.growers {
            let publishers = counted(self.publishers, "publisher", "publishers");
            format!("{}, {publishers}", counted(self.growers, "grower", "growers"))
        } else {
            counted(self.growers, "grower", "growers")
        };
        let pieces = if self.started == 1 { self.wording.piece() } else { self.wording.pieces() };
        format!(
            "{growers}, {}, {} {pieces}; {} of {} with none{}.",
            counted(self.trials, "trial", "trials"),
            grouped(u64::from(self.started)),
            self.arms_none,
            counted(self.arms, "arm", "arms"),
            self.weeks_words(),
        )
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
        format!("up to {} %", percent(high))
    } else if succeeded == started {
        format!("{} % or more", percent(low))
    } else {
        let rate = f64::from(succeeded) / f64::from(started);
        format!("{} % ({})", percent(rate), percent_range(low, high))
    }
}

/// "None of 60 rooted. A true rate up to about 5 % would still give this often enough (1 time in 20)."
pub fn none_of(wording: Wording, started: u32) -> String {
    let bound = percent(count_interval(0, started).1);
    let who = if started == 1 {
        format!("The one {} failed", wording.piece())
    } else {
        format!("None of {} {}", grouped(u64::from(started)), wording.did())
    };
    format!("{who}. A true rate up to about {bound} % would still give this often enough (1 time in 20).")
}

/// "All ten rooted; the true rate could be as low as 74 %."
pub fn all_of(wording: Wording, started: u32) -> String {
    let bound = percent(count_interval(started, started).0);
    let who = if started == 1 {
        format!("The one {} {}", wording.piece(), wording.did())
    } else {
        format!("All {} {}", small_number(started), wording.did())
    };
    format!("{who}; the true rate could be as low as {bound} %.")
}

/// Several methods at once: the crude count only, since it is not a rate of anything.
pub fn several_methods(methods: usize, succeeded: u64, started: u64, question: &str) -> String {
    format!(
        "{methods} methods: {} of {} pieces {question} in all. Methods differ, so no rate is given over all of them.",
        grouped(succeeded),
        grouped(started),
    )
}

/// Where nothing or everything succeeded the likelihood rises without limit.
pub const NO_MAXIMUM: &str = "no estimate exists, the outcome is the same everywhere";

/// Said below classical results.
pub const CLASSICAL: &str = "Maximum likelihood and the normal model stand here for comparison only: their intervals are too narrow with few \
     growers, and adding 0.5 pulls rates towards one half.";

/// Said behind the name of a method with which nothing succeeded.
pub const MOSTLY_PRIOR: &str = " (nothing succeeded: averages are mostly our prior)";
