//! Sentences on what a detail adds, everything else equal.

use propagule_analysis::facets::Standing;
use propagule_answer::said::{LevelFacts, Verdict};

use super::contrast::{any_kind, pots};
use super::sentences::beside::{self, EffectSaid};
use super::{InWords, Of};
use crate::kind::detail;

impl<T: AsRef<str>> Of<'_, LevelFacts<T>> {
    /// The sentence.
    fn sentence(&self) -> String {
        let [reference, level] = [&self.reference, &self.level].map(T::as_ref);
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
        let [reference, level] = [&self.reference, &self.level].map(T::as_ref);
        let words = any_kind();
        let pots = pots(self.single_replicate, self.side_by_side);
        let named = format!("{facet} {level}");
        if self.verdict() == Verdict::CannotTell {
            return format!("{}{pots}", beside::cannot(&words, &named, reference, self.side_by_side));
        }
        let effect = beside::effect(
            &words,
            EffectSaid {
                detail: facet,
                words: [level, reference],
                odds: self.log_or.map(f64::exp),
                trials: self.side_by_side,
            },
        );
        let (better, worse, sure) = if self.better >= 0.5 {
            (named.as_str(), reference, self.better)
        } else {
            (reference, named.as_str(), 1.0 - self.better)
        };
        let likely = beside::likely(&words, better, worse, sure, self.side_by_side, "");
        format!("{likely} {}{pots}", crate::kind::capital(&effect))
    }
}

impl<T: AsRef<str>> InWords for LevelFacts<T> {
    fn words(&self) -> String {
        Of(self).sentence()
    }
}

/// What the joint model takes for granted.
pub const ADDITIVE: &str = "Effects are taken to add up as log odds and to be the same for all growers. A detail that works only together with \
     another is not seen so.";

/// Nothing to compare.
pub const NO_FACETS: &str =
    "No detail has two known words among these treatments, so there is nothing to compare.";

#[cfg(test)]
mod tests {
    use super::*;

    fn facts(standing: Standing, better: f64) -> LevelFacts<&'static str> {
        LevelFacts {
            facet: "auxin",
            reference: "none",
            level: "IBA",
            standing,
            side_by_side: 3,
            single_replicate: 0,
            log_or: [0.1, 0.9, 1.8],
            better,
        }
    }

    #[test]
    fn only_what_was_compared_inside_trials_carries_a_verdict() {
        let better = facts(Standing::WithinGrowers, 0.97).words();
        assert_eq!(
            better,
            "rooting hormone IBA likely does better than none: probability 97% under the model, \
             from 3 trials that tried both. Rooting hormone IBA against none: odds of rooting \
             2.5 times as high (95% interval 1.1 to 6.0), other details equal, 3 trials."
        );
        assert!(
            facts(Standing::WithinGrowers, 0.04)
                .words()
                .contains("none likely does better than rooting hormone IBA: probability 96%")
        );
        let cannot = facts(Standing::WithinGrowers, 0.8).words();
        assert_eq!(cannot, "rooting hormone IBA and none: cannot tell yet, from 3 trials that tried both.");
        assert!(facts(Standing::BetweenGrowers, 0.99).words().contains("from the growers."));
        assert_eq!(facts(Standing::BetweenGrowers, 0.99).verdict(), Verdict::CannotTell);
        assert!(facts(Standing::Aliased, 0.5).words().contains("cannot be separated"));
        assert!(facts(Standing::NeverTried, 0.5).words().ends_with("never tried."));
        assert!(facts(Standing::Reference, 0.0).words().contains("each is compared with"));
    }

    #[test]
    fn one_trial_with_one_pot_an_arm_carries_no_verdict() {
        let one = LevelFacts { side_by_side: 1, single_replicate: 1, ..facts(Standing::WithinGrowers, 0.99) };
        assert_eq!(
            one.words(),
            "rooting hormone IBA and none: cannot tell yet, from 1 trial that tried both. In the \
             only trial each treatment had one pot; a difference between pots would look just \
             the same."
        );
        let several = LevelFacts { single_replicate: 2, ..facts(Standing::WithinGrowers, 0.99) };
        assert_eq!(several.verdict(), Verdict::Likely);
        assert!(several.words().ends_with("one pot; a difference between pots would look just the same."));
    }
}
