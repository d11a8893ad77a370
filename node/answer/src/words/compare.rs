//! Sentences about one grower's own arm against others.

use propagule_analysis::compare::Band;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::counted;
use super::number::in_hundred;
use super::vocabulary::Wording;

/// Where an own result lies among what growers like this one would see.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Flag {
    /// Between the 2.5 and the 97.5 % point.
    Inside,
    /// Below.
    Low,
    /// Above.
    High,
}

impl Flag {
    /// The flag for a mid-P percentile.
    pub fn from_percentile(mid_p: f64) -> Self {
        if mid_p < 0.025 {
            Self::Low
        } else if mid_p > 0.975 {
            Self::High
        } else {
            Self::Inside
        }
    }
}

/// What a comparison sentence is made of.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct CompareFacts {
    /// Words for the pieces and the outcome.
    pub wording: Wording,
    /// Own pieces put in.
    pub own_started: u32,
    /// Own successes.
    pub own_succeeded: u32,
    /// Other growers with the method.
    pub growers: usize,
    /// Whether enough of them are in a climate like this one.
    pub enough: bool,
    /// Whether climates could be compared at all.
    pub by_climate: bool,
    /// Expected successes of the own number put in: 2.5 and 97.5 % points.
    pub expected: (usize, usize),
    /// Chance of this few or fewer.
    pub at_most: f64,
    /// Chance of this many or more.
    pub at_least: f64,
    /// Where the own count lies.
    pub flag: Flag,
}

impl CompareFacts {
    /// The whole sentence.
    pub fn sentence(&self) -> String {
        let mut parts = vec![self.own_words(), self.verdict_words(), self.expected_words()];
        parts.extend(self.basis_words());
        parts.join(" ")
    }

    fn own_words(&self) -> String {
        let did = self.wording.did();
        match (self.own_succeeded, self.own_started) {
            (0, started) => format!("None of your {started} {did}."),
            (all, started) if all == started => format!("All {started} of yours {did}."),
            (some, started) => format!("{some} of your {started} {did}."),
        }
    }

    fn among(&self) -> &'static str {
        if self.enough && self.by_climate { "for your climate" } else { "among all growers" }
    }

    fn verdict_words(&self) -> String {
        let among = self.among();
        match self.flag {
            Flag::Low => format!(
                "Lower than expected {among}; {} in 100 would do this or worse by chance.",
                in_hundred(self.at_most)
            ),
            Flag::High => format!(
                "Higher than expected {among}; {} in 100 would do this or better by chance.",
                in_hundred(self.at_least)
            ),
            Flag::Inside => format!("Inside what is expected {among}: {}.", self.inside_words()),
        }
    }

    /// Chances on both sides; one of them says nothing where none or all succeeded.
    fn inside_words(&self) -> String {
        let worse = format!("{} in 100 would do this or worse", in_hundred(self.at_most));
        match self.own_succeeded {
            0 => worse,
            all if all == self.own_started => {
                format!("{} in 100 would do this or better", in_hundred(self.at_least))
            }
            _ => format!("{worse}, {} in 100 this or better", in_hundred(self.at_least)),
        }
    }

    fn expected_words(&self) -> String {
        let (low, high) = self.expected;
        format!("A new grower there would see {low} to {high} of {}.", self.own_started)
    }

    fn basis_words(&self) -> Option<String> {
        let growers = counted(self.growers, "grower", "growers");
        if !self.by_climate {
            Some(format!("No climate to compare by, so all {growers} with this method are shown."))
        } else if self.enough {
            None
        } else {
            Some(format!("Too few growers in a climate like yours, so all {growers} are shown."))
        }
    }
}

/// Nobody else has tried the method.
pub fn nobody_else(wording: Wording, own_succeeded: u32, own_started: u32) -> String {
    format!(
        "{own_succeeded} of your {own_started} {}. No other grower here has reported this method, so there is \
         nothing to compare with.",
        wording.did()
    )
}

/// Said beside flags: some of them are chance.
pub const FALSE_FLAGS: &str = "About 1 comparison in 20 is flagged by chance alone.";

/// A climate band in words.
pub const fn band_words(band: Band) -> &'static str {
    match band {
        Band::Close => "close climate",
        Band::Similar => "similar climate",
        Band::Loose => "loosely similar climate",
        Band::Different => "different climate",
    }
}
/// Said above a comparison for another place.
pub fn as_if_at(place: &str) -> String {
    format!("As if it had stood at \"{place}\": the counts are yours, the climate is that place's.")
}
