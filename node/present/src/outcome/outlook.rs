//! What a trial of a size can and cannot show, in words.

use crate::number::percent;

use crate::kind::KindWords;
use crate::words::bench::differs;
use propagule_app::outcome::new_trial::{NeededPots, OutlookLine, Power};

/// Characters of a bar that stands for certainty.
const BAR: usize = 20;

/// Something that is said of a size.
pub(super) fn line(line: &OutlookLine) -> String {
    match line {
        OutlookLine::Chance(power) => format!("{}: {}.", rates(power), chance(power)),
        OutlookLine::Needed { rates, pieces, in_pots } => needed(*rates, *pieces, *in_pots),
        OutlookLine::SinglePots { labels } => single_pots(labels),
        OutlookLine::SamePieces { pots, pieces } => {
            format!("The same pieces in {pots} pots an arm: {pieces} in each.")
        }
        OutlookLine::Lot { pieces, upper_if_none, range_if_half: [low, high], kind } => format!(
            "If none of {pieces} has {}, a true rate up to about {} % would still fit; if half have, anything from {} \
             to {} %.",
            KindWords::of(*kind).had,
            percent(*upper_if_none),
            percent(*low),
            percent(*high)
        ),
        OutlookLine::LotNeedsNoControl => "A lot answers no question; it needs no control.".to_owned(),
        OutlookLine::Differs { first, second, differs: names, sole } => {
            differs(first, second, names, sole.as_deref())
        }
    }
}

/// The same as a terminal shows it, where it names options.
pub(super) fn typed(said: &OutlookLine) -> String {
    match said {
        OutlookLine::SamePieces { pots, pieces } => {
            format!("The same pieces in {pots} pots an arm: --pots {pots} --per-pot {pieces}")
        }
        _ => line(said),
    }
}

/// `20 against 80 %`.
pub(super) fn rates(power: &Power) -> String {
    format!("{} against {} %", percent(power.rate_a), percent(power.rate_b))
}

/// The chance that leads as a bar: the one that allows for pots.
pub(super) fn bar(power: &Power) -> String {
    let full = (power.leading() * BAR as f64).round() as usize;
    format!("{}{}", "#".repeat(full), ".".repeat(BAR - full))
}

/// `12 against 12 have an 81 % chance of showing it`, or `3 pots of 4 an arm have a 69 % chance of showing it, 81 % if
/// pieces did not share pots`.
pub(super) fn chance(power: &Power) -> String {
    let leading = power.leading();
    let have = if leading < 0.5 { "have only" } else { "have" };
    let said = format!("{have} {} % chance of showing it", with_article(&hundredths(leading)));
    match power.pots {
        None => format!("{0} against {0} {said}", power.per_arm),
        Some(pots) => format!(
            "{} pots of {} an arm {said}, {} % if pieces did not share pots",
            pots.pots,
            pots.pieces,
            hundredths(power.power)
        ),
    }
}

/// A chance of showing something in per cent, whole from 10 up and rounded down: it promises no more than there is.
fn hundredths(power: f64) -> String {
    percent(if power < 0.1 { power } else { (power * 100.0 + 1e-9).floor() / 100.0 })
}

/// `a 14`, `an 81`.
fn with_article(number: &str) -> String {
    let whole = number.split('.').next().unwrap_or_default();
    let is_vowel =
        whole == "8" || whole == "11" || whole == "18" || (whole.len() == 2 && whole.starts_with('8'));
    format!("{} {number}", if is_vowel { "an" } else { "a" })
}

/// What a modest difference takes.
fn needed([low, high]: [f64; 2], needed: u32, in_pots: Option<NeededPots>) -> String {
    let take = match in_pots {
        None => format!("{needed} pieces an arm"),
        Some(NeededPots { pots: Some(pots), pieces }) => {
            format!("{pots} pots of {pieces} an arm ({needed} pieces would do if pots never differed)")
        }
        Some(NeededPots { pots: None, pieces }) => format!(
            "far more pots of {pieces} an arm (the {needed} pieces that would do if pots never differed are too few)"
        ),
    };
    format!("To tell {} from {} % with a chance of 80 %, put in {take}.", percent(low), percent(high))
}

/// What one pot an arm means.
fn single_pots(labels: &[String]) -> String {
    let (arms, stand) = if labels.len() == 1 { ("Arm", "stands") } else { ("Arms", "stand each") };
    format!(
        "{arms} {} {stand} in a single pot: whatever comes of it, a difference between pots would look the same, and \
         no verdict will be given.",
        labels.join(", ")
    )
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
    fn chances_have_their_article_and_bar() {
        let large = power(0.2, 0.8, 0.81);
        assert_eq!(
            (rates(&large).as_str(), bar(&large).as_str()),
            ("20 against 80 %", "################....")
        );
        assert_eq!(chance(&large), "12 against 12 have an 81 % chance of showing it");
        assert!(chance(&power(0.5, 0.75, 0.14)).ends_with("have only a 14 % chance of showing it"));
        assert_eq!(bar(&power(0.5, 0.75, 0.0)), "....................");
        assert_eq!(
            line(&OutlookLine::Chance(large)),
            "20 against 80 %: 12 against 12 have an 81 % chance of showing it."
        );
    }

    #[test]
    fn chances_that_allow_for_pots_lead() {
        let large = in_pots(0.8, 0.69, 0.81);
        assert_eq!(bar(&large), "##############......");
        assert_eq!(
            chance(&large),
            "3 pots of 4 an arm have a 69 % chance of showing it, 81 % if pieces did not share pots"
        );
        assert!(chance(&in_pots(0.5, 0.1, 0.14)).contains("have only a 10 % chance"));
    }

    #[test]
    fn single_pots_are_named_with_what_to_do() {
        let said = |labels: &[&str]| {
            let labels = labels.iter().map(|label| (*label).to_owned()).collect();
            line(&OutlookLine::SinglePots { labels })
        };
        assert!(said(&["A"]).starts_with("Arm A stands in a single pot"));
        assert!(said(&["A", "B"]).starts_with("Arms A, B stand each in a single pot"));
        let same = OutlookLine::SamePieces { pots: 3, pieces: 4 };
        assert_eq!(line(&same), "The same pieces in 3 pots an arm: 4 in each.");
        assert_eq!(typed(&same), "The same pieces in 3 pots an arm: --pots 3 --per-pot 4");
    }

    #[test]
    fn what_a_modest_difference_takes_is_said_in_pots_first() {
        let said = |in_pots| line(&OutlookLine::Needed { rates: [0.5, 0.75], pieces: 64, in_pots });
        let pots = |pots, pieces| Some(NeededPots { pots, pieces });
        assert_eq!(said(None), "To tell 50 from 75 % with a chance of 80 %, put in 64 pieces an arm.");
        assert!(
            said(pots(Some(20), 4))
                .ends_with("put in 20 pots of 4 an arm (64 pieces would do if pots never differed).")
        );
        assert!(said(pots(None, 60)).contains("far more pots of 60 an arm"));
    }

    #[test]
    fn what_differs_is_said_with_its_end() {
        let differs = |names: &[&str], sole: Option<&str>| {
            let differs = names.iter().map(|name| (*name).to_owned()).collect();
            let (first, second, sole) = ("A".to_owned(), "B".to_owned(), sole.map(str::to_owned));
            line(&OutlookLine::Differs { first, second, differs, sole })
        };
        assert_eq!(differs(&["leaves"], Some("leaves")), "A and B: leaves only");
        assert_eq!(differs(&[], None), "A and B: nothing that is written down differs");
    }
}
