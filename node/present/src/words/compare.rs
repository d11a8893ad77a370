//! Sentences about one grower's own arm against others.

use propagule_analysis::compare::Band;
use propagule_answer::said::{CompareFacts, Flag, Wording};

use super::vocabulary::PieceWords;
use super::{InWords, Of, counted};
use crate::number::in_hundred;

impl Of<'_, CompareFacts> {
    /// The whole sentence.
    fn sentence(&self) -> String {
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

impl InWords for CompareFacts {
    fn words(&self) -> String {
        Of(self).sentence()
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
