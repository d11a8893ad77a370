//! Corrections of entries in words.

use crate::document::Document;
use propagule_bench::State;

use super::{changes, said, titled};
use crate::kind::KindWords;
use crate::words::entry as words;
use crate::words::sentences::{entries, when};
use propagule_app::outcome::entry::{Corrected, Mended, NumberCorrected};
use propagule_app::outcome::undo::Undo;

/// An entry stands otherwise from now on.
pub(super) fn corrected(number: u64, Corrected { now, mended }: &Corrected) -> Document {
    let words = KindWords::of(mended.kind);
    let numbers: Vec<String> = mended.corrected.iter().map(said::line).collect();
    let changed = if numbers.is_empty() {
        format!("{} on {}", words::what(&now.what, &words), when(&words, &now.on))
    } else {
        numbers.join("; ")
    };
    let correction = mended.correction;
    titled(entries::fixed(&words, number, correction, &changed), places(mended))
}

/// An entry never happened.
pub(super) fn taken_back(number: u64, mended: &Mended) -> Document {
    titled(entries::undone(&KindWords::of(mended.kind), number, ""), places(mended))
}

fn places(mended: &Mended) -> Vec<String> {
    let words = KindWords::of(mended.kind);
    mended.stands.iter().map(|place| changes::stands(place, &words)).collect()
}

/// `P1 3 → 2 rooted`.
pub(in crate::outcome) fn number(number: &NumberCorrected) -> String {
    let NumberCorrected { place, of, kind, then, now } = number;
    let word = match of {
        State::Alive => "alive",
        State::Rooted => KindWords::of(*kind).ok,
        State::Dead => "dead",
        State::Lost => "lost",
    };
    let told = |count: Option<u16>| count.map_or("not counted".to_owned(), |n| n.to_string());
    format!("{place} {} \u{2192} {} {word}", told(*then), told(*now))
}

/// The last entry of the home, which is or would be undone.
pub(in crate::outcome) fn undone(Undo { entry, says, taken_back }: &Undo) -> Document {
    let says = said::line(says);
    Document::new().say(if *taken_back {
        format!("Undone: {says}")
    } else {
        format!("The last entry is number {entry}: {says}")
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use propagule_bench::kind::Kind;

    #[test]
    fn a_correction_says_both_numbers() {
        let said = |of, kind, then, now| {
            let place = "P1".to_owned();
            number(&NumberCorrected { place, of, kind, then, now })
        };
        assert_eq!(said(State::Rooted, Kind::Cutting, Some(3), Some(2)), "P1 3 \u{2192} 2 rooted");
        assert_eq!(said(State::Rooted, Kind::Graft, Some(3), Some(1)), "P1 3 \u{2192} 1 took");
        assert_eq!(said(State::Dead, Kind::Cutting, None, Some(0)), "P1 not counted \u{2192} 0 dead");
    }
}
