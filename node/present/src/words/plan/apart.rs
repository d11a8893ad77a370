//! What a trial of two treatments would show.

use propagule_answer::plan::{MOST_IN_ARM, MOST_POTS, TellApart};
use propagule_answer::said::{ApartFacts, InPots};

use crate::number::in_hundred;
use crate::words::contrast::any_kind;
use crate::words::sentences::planning::{self, Telling};
use crate::words::{InWords, Of};

impl<T: AsRef<str>> InWords for ApartFacts<T> {
    fn words(&self) -> String {
        Of(self).sentence()
    }
}

impl<T: AsRef<str>> Of<'_, ApartFacts<T>> {
    /// The sentence; the figure that allows for pots leads.
    fn sentence(&self) -> String {
        let (a, b) = self.rates;
        let names = [&self.first, &self.second].map(|method| method.as_ref().map(T::as_ref));
        let bare = |in_pots: InPots| {
            let is_same = in_pots.pots * in_pots.pieces == self.per_arm;
            (self.power, (!is_same).then_some(self.per_arm))
        };
        let telling = Telling {
            names,
            rates: [a, b],
            size: &self.size(),
            chance: self.in_pots.map_or(self.power, |in_pots| in_pots.power),
            without_pots: self.in_pots.map(bare),
            allowing: self.assurance,
        };
        let needed = self.needed_words();
        let space = if needed.is_empty() { "" } else { " " };
        format!("{}{space}{needed}", planning::tell_apart(&any_kind(), telling))
    }

    /// `12`, or `3 pots of 4`.
    fn size(&self) -> String {
        self.in_pots
            .map_or_else(|| self.per_arm.to_string(), |InPots { pots, pieces, .. }| pots_of(pots, pieces))
    }

    fn needed_words(&self) -> String {
        let words = any_kind();
        match (self.in_pots, self.needed) {
            (Some(InPots { pieces, needed_pots: None, .. }), _) => {
                planning::no_size_reaches(&words, &pots_of(MOST_POTS, pieces), self.sure)
            }
            (Some(InPots { pots, pieces, needed_pots: Some(needed), .. }), _) if pots != needed => {
                planning::size_that_reaches(&words, &pots_of(needed, pieces), self.sure)
            }
            (None, Some(needed)) if needed != self.per_arm => {
                planning::size_that_reaches(&words, &needed.to_string(), self.sure)
            }
            (None, None) => planning::no_size_reaches(&words, &MOST_IN_ARM.to_string(), self.sure),
            _ => String::new(),
        }
    }
}

/// `3 pots of 4`.
fn pots_of(pots: u32, pieces: u32) -> String {
    format!("{pots} pots of {pieces}")
}

/// Two true rates in a table, the figure that allows for pots first.
pub struct ApartCells {
    /// `20% and 80%`.
    pub rates: String,
    /// `3 pots of 4`, or `12`.
    pub each_arm: String,
    /// Of 100 trials.
    pub shown: String,
    /// Of 100 trials if pots never differed; `None` where there are no pots.
    pub shown_without_pots: Option<String>,
    /// Pots, or plants where there are none, of each treatment.
    pub needed: String,
}

/// The cells of a row.
pub fn apart_cells(row: &TellApart) -> ApartCells {
    let rates = format!("{:.0}% and {:.0}%", row.rate_a * 100.0, row.rate_b * 100.0);
    match row.in_pots {
        Some(InPots { pots, pieces, power, needed_pots, .. }) => ApartCells {
            rates,
            each_arm: pots_of(pots, pieces),
            shown: in_hundred(power),
            shown_without_pots: Some(in_hundred(row.power)),
            needed: needed_pots
                .map_or_else(|| format!("over {MOST_POTS} pots"), |needed| format!("{needed} pots")),
        },
        None => ApartCells {
            rates,
            each_arm: row.per_arm.to_string(),
            shown: in_hundred(row.power),
            shown_without_pots: None,
            needed: row
                .needed_per_arm
                .map_or_else(|| format!("over {MOST_IN_ARM}"), |needed| needed.to_string()),
        },
    }
}
