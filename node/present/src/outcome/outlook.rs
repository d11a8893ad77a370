//! What a trial of a size can and cannot show, in words.

use propagule_bench::kind::Kind;

use crate::kind::{KindWords, detail, details};
use crate::words::sentences::per_cent;
use crate::words::sentences::setup::{self, Chance};
use propagule_app::outcome::new_trial::{NeededPots, OutlookLine, Power};

/// Characters of a bar that stands for certainty.
const BAR: usize = 20;

/// Something that is said of a size, in the words of a kind.
pub(super) fn line_of(line: &OutlookLine, kind: Kind) -> String {
    let words = KindWords::of(kind);
    match line {
        OutlookLine::Chance(power) => chance(power, &words),
        OutlookLine::Needed { rates, pieces, in_pots } => needed(&words, *rates, *pieces, *in_pots),
        OutlookLine::SinglePots { labels } => setup::one_pot(&words, labels),
        OutlookLine::SamePieces { pots, pieces } => setup::more_pots(&words, *pots, *pieces),
        OutlookLine::Lot { pieces, upper_if_none, range_if_half, kind } => {
            setup::batch_outlook(&KindWords::of(*kind), *pieces, *upper_if_none, *range_if_half)
        }
        OutlookLine::LotNeedsNoControl => setup::batch_without_control(&words),
        OutlookLine::Differs { first, second, differs: names, sole } => {
            setup::differs(&words, first, second, &details(names), sole.as_deref().map(detail).as_deref())
        }
    }
}

/// The same where no kind is known.
pub(super) fn line(line: &OutlookLine) -> String {
    line_of(line, Kind::Mixed)
}

/// The same as a terminal shows it, where it names options.
pub(super) fn typed(said: &OutlookLine, kind: Kind) -> String {
    match said {
        OutlookLine::SamePieces { pots, pieces } => {
            format!("{} (--pots {pots} --per-pot {pieces})", line_of(said, kind).trim_end_matches('.'))
        }
        _ => line_of(said, kind),
    }
}

/// `20% and 80%`.
pub(super) fn rates(power: &Power) -> String {
    format!("{} and {}", per_cent(power.rate_a), per_cent(power.rate_b))
}

/// The chance that leads as a bar: the one that allows for pots.
pub(super) fn bar(power: &Power) -> String {
    let full = (power.leading() * BAR as f64).round() as usize;
    format!("{}{}", "#".repeat(full), ".".repeat(BAR - full))
}

/// The chance in a table: `81 times in 100`, or `69 times in 100 (81 if pots never differed)`.
pub(crate) fn times(power: &Power) -> String {
    let leading = setup::times(power.leading());
    if power.pots.is_none() {
        return leading;
    }
    let bare = setup::times(power.power);
    format!("{leading} ({} if pots never differed)", bare.trim_end_matches(" times in 100"))
}

/// `If the true rates were 20% and 80%, 3 pots of 4 per treatment would show the difference 69 times in 100`.
fn chance(power: &Power, words: &KindWords) -> String {
    let of = Chance {
        rates: [power.rate_a, power.rate_b],
        chance: power.leading(),
        without_pots: power.pots.map(|_| power.power),
    };
    setup::power(words, &size(power), of)
}

/// `12`, or `3 pots of 4`.
pub(super) fn size(power: &Power) -> String {
    match power.pots {
        None => power.per_arm.to_string(),
        Some(pots) => format!("{} pots of {}", pots.pots, pots.pieces),
    }
}

/// What a modest difference takes.
fn needed(words: &KindWords, rates: [f64; 2], needed: u32, in_pots: Option<NeededPots>) -> String {
    match in_pots {
        None => setup::size_needed(words, rates, &needed.to_string()),
        Some(NeededPots { pots: Some(pots), pieces }) => {
            let said = setup::size_needed(words, rates, &format!("{pots} pots of {pieces}"));
            format!("{} ({needed} if pots never differed).", said.trim_end_matches('.'))
        }
        Some(NeededPots { pots: None, pieces }) => setup::no_size_needed(words, rates, needed, pieces),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use propagule_app::outcome::new_trial::PowerInPots;

    fn power(rate_a: f64, rate_b: f64, power: f64) -> Power {
        Power { per_arm: 12, rate_a, rate_b, power, pots: None }
    }

    fn in_pots(rate_b: f64, power: f64, bare: f64) -> Power {
        let pots = PowerInPots { pots: 3, pieces: 4, icc: 0.1, power, power_if_pots_never_differ: bare };
        Power { pots: Some(pots), ..self::power(0.2, rate_b, bare) }
    }

    #[test]
    fn chances_have_their_times_and_bar() {
        let large = power(0.2, 0.8, 0.81);
        assert_eq!((rates(&large).as_str(), bar(&large).as_str()), ("20% and 80%", "################...."));
        assert_eq!(times(&large), "81 times in 100");
        assert_eq!(times(&power(0.5, 0.75, 0.149)), "only 14 times in 100");
        assert_eq!(times(&power(0.5, 0.75, 0.004)), "hardly ever");
        assert_eq!(bar(&power(0.5, 0.75, 0.0)), "....................");
        assert_eq!(
            line(&OutlookLine::Chance(large)),
            "If the true rates were 20% and 80%, 12 per treatment would show the difference 81 times in 100."
        );
    }

    #[test]
    fn chances_that_allow_for_pots_lead() {
        let large = in_pots(0.8, 0.69, 0.81);
        assert_eq!(bar(&large), "##############......");
        assert_eq!(times(&large), "69 times in 100 (81 if pots never differed)");
        assert_eq!(times(&in_pots(0.5, 0.1, 0.14)), "only 10 times in 100 (only 14 if pots never differed)");
    }

    #[test]
    fn the_option_is_named_where_it_can_be_typed() {
        let same = OutlookLine::SamePieces { pots: 3, pieces: 4 };
        assert_eq!(line(&same), "The same number in 3 pots per treatment: 4 in each pot.");
        assert!(typed(&same, Kind::Cutting).ends_with("4 in each pot (--pots 3 --per-pot 4)"));
    }

    #[test]
    fn what_a_modest_difference_takes_is_said_in_pots_first() {
        let said = |in_pots| {
            line_of(&OutlookLine::Needed { rates: [0.5, 0.75], pieces: 64, in_pots }, Kind::Cutting)
        };
        let pots = |pots, pieces| Some(NeededPots { pots, pieces });
        assert_eq!(said(None), "To tell 50% from 75% with an 80% chance, stick 64 per treatment.");
        assert!(
            said(pots(Some(20), 4))
                .ends_with("stick 20 pots of 4 per treatment (64 if pots never differed).")
        );
        assert!(said(pots(None, 60)).contains("With pots of 60, no number of pots"));
    }
}
