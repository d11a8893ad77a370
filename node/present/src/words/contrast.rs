//! Sentences about which of two methods does better, from trials that held both.

use propagule_analysis::verdict::Scope;
use propagule_answer::said::{ContrastFacts, Family, Verdict};

use super::sentences::beside;
use super::shrunk::judged_from;
use super::{InWords, Of};
use crate::kind::{KindWords, detail, in_our_words};

/// The words of an answer over all kinds.
pub fn any_kind() -> KindWords {
    KindWords::of_family(Family::Mixed)
}

impl<T: AsRef<str>> Of<'_, ContrastFacts<T>> {
    /// The sentence, with how many trials it was judged from where not all were.
    fn sentence(&self) -> String {
        self.verdict_words() + &judged_from(self.from_trials.filter(|_| self.informative > 0))
    }

    /// Both sides, in the reader's words for that detail.
    fn sides(&self) -> [String; 2] {
        [&self.first, &self.second].map(|side| in_our_words(self.facet.as_ref(), side.as_ref()))
    }

    fn verdict_words(&self) -> String {
        let (words, sides) = (any_kind(), self.sides());
        let [first, second] = sides.each_ref().map(String::as_str);
        let said = match self.verdict {
            _ if self.informative == 0 => beside::no_signal(&words, first, second, self.trials),
            Verdict::Likely => self.likely_better(),
            Verdict::Better => {
                let (better, worse) = in_order(&sides, self.first_is_better == Some(true));
                beside::better_in_one(&words, better, worse)
            }
            Verdict::DependsOnLost => beside::depends_on_lost(&words, first, second),
            Verdict::Pending => beside::pair_under_way(&words, first, second),
            _ => format!(
                "{}{}",
                beside::cannot(&words, first, second, self.trials),
                pots(self.single_replicate, self.trials)
            ),
        };
        format!("{}: {said}", crate::kind::capital(&detail(self.facet.as_ref())))
    }

    fn likely_better(&self) -> String {
        let sides = self.sides();
        let (better, worse) = in_order(&sides, self.prob_first_better >= 0.5);
        let probability = self.prob_first_better.max(1.0 - self.prob_first_better);
        let place = if self.scope == Some(Scope::OneGrower) { " where one grower tried both" } else { "" };
        format!(
            "{}{}",
            beside::likely(&any_kind(), better, worse, probability, self.informative, place),
            pots(self.single_replicate, self.trials),
        )
    }
}

fn in_order([first, second]: &[String; 2], first_leads: bool) -> (&str, &str) {
    if first_leads { (first, second) } else { (second, first) }
}

impl<T: AsRef<str>> InWords for ContrastFacts<T> {
    fn words(&self) -> String {
        Of(self).sentence()
    }
}

/// Two sides that differ in several details at once.
pub fn always_together(first: &str, second: &str, trials: usize) -> String {
    beside::together(&any_kind(), first, second, trials)
}

/// What is added where trials stood in one pot a treatment.
pub(super) fn pots(single_replicate: usize, trials: usize) -> String {
    match single_replicate {
        0 => String::new(),
        some => format!(" {}", beside::one_pot_of(&any_kind(), some, trials)),
    }
}
