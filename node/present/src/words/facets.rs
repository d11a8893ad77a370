//! Sentences on what a facet adds, everything else equal.

use propagule_answer::said::{LevelFacts, Standing, Verdict};

use super::contrast::pots;
use super::{InWords, Of, counted};
use crate::number::in_hundred;

impl<T: AsRef<str>> Of<'_, LevelFacts<T>> {
    /// The sentence.
    fn sentence(&self) -> String {
        let [facet, reference, level] = [&self.facet, &self.reference, &self.level].map(T::as_ref);
        match self.standing {
            Standing::Reference => format!("{facet} {level}: the others are held against it."),
            Standing::NeverTried => format!("{facet} {level}: never tried."),
            Standing::Aliased => {
                format!("{facet} {level} cannot be separated from what it always went with.")
            }
            Standing::BetweenGrowers => format!(
                "{facet} {level}: never beside {reference} in one trial, so a difference may be the growers'."
            ),
            Standing::WithinGrowers => self.compared(),
        }
    }

    fn compared(&self) -> String {
        let [facet, reference, level] = [&self.facet, &self.reference, &self.level].map(T::as_ref);
        let trials = counted(self.side_by_side, "trial", "trials");
        let named = match (self.verdict, self.better, self.log_or) {
            (Verdict::Likely | Verdict::Better, Some(better), Some(log_or)) => Some((better, log_or)),
            _ => None,
        };
        let Some((better, log_or)) = named else {
            return format!(
                "{facet} {level} and {reference} cannot be told apart yet ({trials} side by side).{}",
                pots(self.single_replicate, self.side_by_side)
            );
        };
        let (word, sure) = if better >= 0.5 { ("better", better) } else { ("worse", 1.0 - better) };
        let [low, middle, high] = log_or.map(odds);
        format!(
            "{facet} {level} likely does {word} than {reference} ({} in 100): odds times {middle} ({low} to {high}), {trials} \
             side by side.{}",
            in_hundred(sure),
            pots(self.single_replicate, self.side_by_side)
        )
    }
}

impl<T: AsRef<str>> InWords for LevelFacts<T> {
    fn words(&self) -> String {
        Of(self).sentence()
    }
}

/// An odds ratio with two digits.
fn odds(log_or: f64) -> String {
    let ratio = log_or.exp();
    match ratio {
        r if r >= 100.0 => "over 100".to_owned(),
        r if r >= 9.95 => format!("{r:.0}"),
        r if r < 0.01 => "under 0.01".to_owned(),
        r if r < 0.1 => format!("{r:.2}"),
        r => format!("{r:.1}"),
    }
}

/// What a comparison facet by facet takes for granted.
pub const ADDITIVE: &str = "Each facet is compared where everything else was the same; a word that works only together with \
     another is averaged over what it stood with.";

/// Nothing to hold against one another.
pub const NO_FACETS: &str =
    "No facet has two known words among these arms, so there is nothing to hold against one another.";

#[cfg(test)]
mod tests {
    use super::*;

    fn facts(verdict: Verdict, better: f64) -> LevelFacts<&'static str> {
        LevelFacts {
            facet: "auxin",
            reference: "none",
            level: "IBA",
            standing: Standing::WithinGrowers,
            verdict,
            side_by_side: 3,
            single_replicate: 0,
            log_or: Some([0.1, 0.9, 1.8]),
            better: Some(better),
        }
    }

    #[test]
    fn the_verdict_of_the_contrast_is_told() {
        assert_eq!(
            facts(Verdict::Likely, 0.97).words(),
            "auxin IBA likely does better than none (97 in 100): odds times 2.5 (1.1 to 6.0), 3 trials side by side."
        );
        assert!(facts(Verdict::Likely, 0.04).words().contains("likely does worse than none (96 in 100)"));
        let cannot = facts(Verdict::CannotTell, 0.99).words();
        assert_eq!(cannot, "auxin IBA and none cannot be told apart yet (3 trials side by side).");
    }

    #[test]
    fn what_was_never_compared_has_no_figures() {
        let of = |standing, verdict| {
            LevelFacts { standing, log_or: None, better: None, ..facts(verdict, 0.5) }.words()
        };
        assert!(of(Standing::BetweenGrowers, Verdict::NeverCompared).contains("may be the growers'"));
        assert!(of(Standing::Aliased, Verdict::Confounded).contains("cannot be separated"));
        assert!(of(Standing::Reference, Verdict::CannotTell).contains("held against it"));
    }

    #[test]
    fn one_trial_with_one_pot_an_arm_says_so() {
        let one = LevelFacts { side_by_side: 1, single_replicate: 1, ..facts(Verdict::SingleUnit, 0.99) };
        assert_eq!(
            one.words(),
            "auxin IBA and none cannot be told apart yet (1 trial side by side). One pot each: a difference between pots \
             would look the same."
        );
        let several = LevelFacts { single_replicate: 2, ..facts(Verdict::Likely, 0.99) };
        assert!(
            several
                .words()
                .ends_with("2 of 3 trials: One pot each: a difference between pots would look the same.")
        );
    }

    #[test]
    fn odds_keep_two_digits_at_their_edges() {
        assert_eq!(
            [-9.0, -3.0, -0.2, 0.0, 2.4, 9.0].map(odds),
            ["under 0.01", "0.05", "0.8", "1.0", "11", "over 100"]
        );
    }
}
