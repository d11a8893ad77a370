//! Sentences on what a detail adds, everything else equal.

use propagule_answer::said::{LevelFacts, Standing, Verdict};

use super::contrast::{any_kind, pots};
use super::sentences::beside::{self, EffectSaid};
use super::{InWords, Of};
use crate::kind::{detail, in_our_words};

impl<T: AsRef<str>> Of<'_, LevelFacts<T>> {
    /// What it is compared with, and its own word, as the reader says both.
    fn sides(&self) -> [String; 2] {
        [&self.reference, &self.level].map(|side| in_our_words(self.facet.as_ref(), side.as_ref()))
    }

    /// The sentence.
    fn sentence(&self) -> String {
        let sides = self.sides();
        let [reference, level] = sides.each_ref().map(String::as_str);
        let (words, facet) = (any_kind(), detail(self.facet.as_ref()));
        match self.standing {
            Standing::Reference => beside::reference(&words, &facet, level),
            Standing::NeverTried => beside::untried_word(&words, &facet, level),
            Standing::Aliased => beside::aliased(&words, &facet, level),
            Standing::BetweenGrowers => beside::between(&words, &format!("{facet} {level}"), reference),
            Standing::WithinGrowers => self.compared(&facet),
        }
    }

    fn compared(&self, facet: &str) -> String {
        let sides = self.sides();
        let [reference, level] = sides.each_ref().map(String::as_str);
        let words = any_kind();
        let pots = pots(self.single_replicate, self.side_by_side);
        let named = format!("{facet} {level}");
        let told = match (self.verdict, self.better, self.log_or) {
            (Verdict::Likely | Verdict::Better, Some(better), Some(log_or)) => Some((better, log_or)),
            _ => None,
        };
        let Some((better, log_or)) = told else {
            return format!("{}{pots}", beside::cannot(&words, &named, reference, self.side_by_side));
        };
        let effect = beside::effect(
            &words,
            EffectSaid {
                detail: facet,
                words: [level, reference],
                odds: log_or.map(f64::exp),
                trials: self.side_by_side,
            },
        );
        let (ahead, behind, sure) = if better >= 0.5 {
            (named.as_str(), reference, better)
        } else {
            (reference, named.as_str(), 1.0 - better)
        };
        let likely = beside::likely(&words, ahead, behind, sure, self.side_by_side, "");
        format!("{likely} {}{pots}", crate::kind::capital(&effect))
    }
}

impl<T: AsRef<str>> InWords for LevelFacts<T> {
    fn words(&self) -> String {
        Of(self).sentence()
    }
}

/// What a comparison detail by detail takes for granted.
pub const ADDITIVE: &str = "Each detail is compared where everything else was the same. A word that works only together \
     with another is averaged over what it was used with.";

/// Nothing to compare.
pub const NO_FACETS: &str =
    "No detail has two known words among these treatments, so there is nothing to compare.";

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
            "rooting hormone IBA likely does better than none: probability 97% under the model, \
             from 3 trials that tried both. Rooting hormone IBA against none: odds of rooting \
             2.5 times as high (95% interval 1.1 to 6.0), other details equal, 3 trials."
        );
        assert!(
            facts(Verdict::Likely, 0.04)
                .words()
                .contains("none likely does better than rooting hormone IBA: probability 96%")
        );
        let cannot = facts(Verdict::CannotTell, 0.99).words();
        assert_eq!(cannot, "rooting hormone IBA and none: cannot tell yet, from 3 trials that tried both.");
    }

    #[test]
    fn what_was_never_compared_has_no_figures() {
        let of = |standing, verdict| {
            LevelFacts { standing, log_or: None, better: None, ..facts(verdict, 0.5) }.words()
        };
        assert!(
            of(Standing::BetweenGrowers, Verdict::NeverCompared)
                .contains("a difference could come from the growers")
        );
        assert!(of(Standing::Aliased, Verdict::Confounded).contains("cannot be separated"));
        assert!(of(Standing::Reference, Verdict::CannotTell).contains("each is compared with IBA"));
    }

    #[test]
    fn one_trial_with_one_pot_an_arm_says_so() {
        let one = LevelFacts { side_by_side: 1, single_replicate: 1, ..facts(Verdict::SingleUnit, 0.99) };
        assert_eq!(
            one.words(),
            "rooting hormone IBA and none: cannot tell yet, from 1 trial that tried both. In the \
             only trial each treatment had one pot; a difference between pots would look just \
             the same."
        );
        let several = LevelFacts { single_replicate: 2, ..facts(Verdict::Likely, 0.99) };
        assert!(several.words().ends_with("one pot; a difference between pots would look just the same."));
    }
}
