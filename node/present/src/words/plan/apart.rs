//! What a trial of two arms would show.

use propagule_answer::plan::{MOST_IN_ARM, MOST_POTS, TellApart};
use propagule_answer::said::{ApartFacts, InPots};

use crate::number::in_hundred;
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
        let named = |method: Option<&str>, rate: f64| match method {
            Some(method) => format!("{method} (about {} in 100)", in_hundred(rate)),
            None => format!("{:.0} %", rate * 100.0),
        };
        let [first, second] = [&self.first, &self.second].map(|method| method.as_ref().map(T::as_ref));
        let pair = format!("{} and {}", named(first, a), named(second, b));
        let power = self.in_pots.map_or(self.power, |in_pots| in_pots.power);
        format!(
            "{pair}: {} in each of two arms would show the difference {} times in 100 if these were the true rates{}.{}",
            self.size(),
            in_hundred(power),
            self.beside(),
            self.needed_words(),
        )
    }

    /// `12`, or `3 pots of 4`.
    fn size(&self) -> String {
        self.in_pots
            .map_or_else(|| self.per_arm.to_string(), |InPots { pots, pieces, .. }| pots_of(pots, pieces))
    }

    /// What stands beside the figure that leads: without pots, and allowing for what is not known.
    fn beside(&self) -> String {
        let bare = |in_pots: InPots| {
            let same = in_pots.pots * in_pots.pieces == self.per_arm;
            let size = if same { String::new() } else { format!("{}: ", self.per_arm) };
            format!("{size}{} if pots never differed", in_hundred(self.power))
        };
        let assured = |assurance| format!("{} allowing for what is not known of them", in_hundred(assurance));
        match (self.in_pots.map(bare), self.assurance.map(assured)) {
            (None, None) => String::new(),
            (None, Some(one)) | (Some(one), None) => format!(" ({one})"),
            (Some(bare), Some(assured)) => format!(" ({bare}, and {assured})"),
        }
    }

    fn needed_words(&self) -> String {
        let sure = in_hundred(self.sure);
        match (self.in_pots, self.needed) {
            (Some(InPots { pieces, needed_pots: None, .. }), _) => {
                format!(" Even {} in each would not reach {sure}.", pots_of(MOST_POTS, pieces))
            }
            (Some(InPots { pots, pieces, needed_pots: Some(needed), .. }), _) if pots != needed => {
                format!(" {} in each would show it {sure} times in 100.", pots_of(needed, pieces))
            }
            (None, Some(needed)) if needed != self.per_arm => {
                format!(" {needed} in each would show it {sure} times in 100.")
            }
            (None, None) => format!(" Even {MOST_IN_ARM} in each would not reach {sure}."),
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
    /// `20 and 80 %`.
    pub rates: String,
    /// `3 pots of 4`, or `12`.
    pub each_arm: String,
    /// Of 100 trials.
    pub shown: String,
    /// Of 100 trials if pots never differed; `None` where pieces are the units.
    pub shown_without_pots: Option<String>,
    /// Pots, or pieces where pieces are the units, of each arm.
    pub needed: String,
}

/// The cells of a row.
pub fn apart_cells(row: &TellApart) -> ApartCells {
    let rates = format!("{:.0} and {:.0} %", row.rate_a * 100.0, row.rate_b * 100.0);
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
