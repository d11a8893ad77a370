//! Sentences about which of two methods does better, from trials that held both.

use propagule_analysis::verdict::Scope;
use propagule_answer::said::{ContrastFacts, Verdict};

use super::shrunk::judged_from;
use super::{InWords, Of, counted};
use crate::number::in_hundred;

impl<T: AsRef<str>> Of<'_, ContrastFacts<T>> {
    /// The sentence, with how many trials it was judged from where not all were.
    fn sentence(&self) -> String {
        self.verdict_words() + &judged_from(self.from_trials.filter(|_| self.informative > 0))
    }

    fn verdict_words(&self) -> String {
        let pair = format!("{}: {} and {}", self.facet(), self.first.as_ref(), self.second.as_ref());
        let trials = counted(self.trials, "trial", "trials");
        match self.verdict {
            _ if self.informative == 0 => format!("{pair}: no difference could be seen in {trials}."),
            Verdict::Likely => self.likely_better(),
            Verdict::Better => self.better_in_one_trial(),
            Verdict::DependsOnLost => {
                format!(
                    "{pair} cannot be told apart yet: in the one trial it depends on what became of lost pieces."
                )
            }
            Verdict::Pending => {
                format!("{pair}: the one trial with a difference to see is not counted to the end.")
            }
            _ => format!(
                "{pair} cannot be told apart yet ({trials}).{}",
                pots(self.single_replicate, self.trials)
            ),
        }
    }

    fn facet(&self) -> &str {
        self.facet.as_ref()
    }

    /// The trial's own verdict.
    fn better_in_one_trial(&self) -> String {
        let (better, worse) = self.in_order(self.first_is_better == Some(true));
        format!("{}: {better} did better than {worse}, in one trial.", self.facet())
    }

    fn in_order(&self, first_leads: bool) -> (&str, &str) {
        let (first, second) = (self.first.as_ref(), self.second.as_ref());
        if first_leads { (first, second) } else { (second, first) }
    }

    fn likely_better(&self) -> String {
        let (better, worse) = self.in_order(self.prob_first_better >= 0.5);
        let probability = self.prob_first_better.max(1.0 - self.prob_first_better);
        let place = if self.scope == Some(Scope::OneGrower) { " at one grower's place" } else { "" };
        format!(
            "{}: {better} likely better than {worse}{place} ({} in 100), from {} with a difference to see.{}",
            self.facet(),
            in_hundred(probability),
            counted(self.informative, "trial", "trials"),
            pots(self.single_replicate, self.trials),
        )
    }
}

impl<T: AsRef<str>> InWords for ContrastFacts<T> {
    fn words(&self) -> String {
        Of(self).sentence()
    }
}

/// `dip + perlite against none + bark: always together in 2 trials; which of them did it cannot be said.`
pub fn always_together(first: &str, second: &str, trials: usize) -> String {
    let trials = counted(trials, "trial", "trials");
    format!("{first} against {second}: always together in {trials}; which of them did it cannot be said.")
}

/// What is added where trials stood in one pot an arm.
pub(super) fn pots(single_replicate: usize, trials: usize) -> String {
    match single_replicate {
        0 => String::new(),
        _ if trials == 1 => format!(" {ONE_POT_EACH}"),
        some => format!(" {some} of {trials} trials: {ONE_POT_EACH}"),
    }
}

/// Why one pot an arm proves little.
pub const ONE_POT_EACH: &str = "One pot each: a difference between pots would look the same.";
