//! Sentences about one grower's own treatment against others.

use propagule_analysis::compare::Band;
use propagule_answer::said::{CompareFacts, Family, Flag, Wording};

use super::sentences::growers;
use super::vocabulary::PieceWords;
use super::{InWords, Of};
use crate::kind::KindWords;

impl Of<'_, CompareFacts> {
    /// The whole sentence.
    fn sentence(&self) -> String {
        let mut parts = vec![self.verdict_words()];
        parts.extend(self.inside_words());
        parts.push(growers::expected_count(
            &self.wording.kind(),
            self.wording.outcome,
            self.own_started,
            self.expected,
        ));
        parts.extend(self.basis_words());
        parts.join(" ")
    }

    const fn in_climate(&self) -> bool {
        self.0.enough && self.0.by_climate
    }

    fn verdict_words(&self) -> String {
        let (words, of) = (self.wording.kind(), self.wording.outcome);
        let own = (self.own_succeeded, self.own_started);
        match self.flag {
            Flag::Low => growers::lower(&words, of, own, self.in_climate(), self.at_most),
            Flag::High => growers::higher(&words, of, own, self.in_climate(), self.at_least),
            Flag::Inside => growers::in_line(&words, of, own, self.in_climate()),
        }
    }

    /// Chances on both sides; one of them says nothing where none or all succeeded.
    fn inside_words(&self) -> Option<String> {
        let at_most = (self.own_succeeded < self.own_started).then_some(self.at_most);
        let at_least = (self.own_succeeded > 0).then_some(self.at_least);
        (self.flag == Flag::Inside).then(|| growers::chances(&self.wording.kind(), at_most, at_least))
    }

    fn basis_words(&self) -> Option<String> {
        let words = self.wording.kind();
        if !self.by_climate {
            Some(growers::no_climate(&words, self.growers))
        } else if self.enough {
            None
        } else {
            Some(growers::too_few(&words, self.growers))
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
    growers::nobody_else(&wording.kind(), wording.outcome, (own_succeeded, own_started))
}

/// Said beside marks: some of them are chance.
pub fn flags_by_chance() -> String {
    growers::flags_by_chance(&KindWords::of_family(Family::Mixed))
}

/// A climate band in words.
pub const fn band_words(band: Band) -> &'static str {
    match band {
        Band::Close => "close climate",
        Band::Similar => "similar climate",
        Band::Loose => "loosely similar climate",
        Band::Different => "different climate",
    }
}
/// Said above a comparison for another site.
pub fn as_if_at(place: &str) -> String {
    growers::as_if_at(&KindWords::of_family(Family::Mixed), place)
}
