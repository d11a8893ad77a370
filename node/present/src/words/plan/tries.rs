//! Which method to try next.

use propagule_answer::said::{TryFacts, TryRole};

use crate::number::in_hundred;
use crate::words::Of;
use crate::words::contrast::any_kind;
use crate::words::rate::none_of;
use crate::words::sentences::{borrowed, planning};

/// Points by which the two rates must differ to be worth a word.
const CURSE_MATTERS: f64 = 0.01;

/// A method among those to try next, or what they are compared with.
pub fn worth_a_try(facts: &TryFacts, role: TryRole, method: &str) -> String {
    let words = any_kind();
    let best_of = if let TryRole::Against { best_of, .. } = role { best_of } else { None };
    let rate = Of(facts).sentence(method, best_of);
    match role {
        TryRole::Worth(worth) => format!("{rate} {}", planning::trial_pays(&words, worth)),
        TryRole::Against { best_of, pays } => {
            let known = format!("{rate} {}", planning::in_use(&words, best_of));
            if pays { known } else { format!("{known} {}", planning::no_trial_pays(&words)) }
        }
    }
}

impl Of<'_, TryFacts> {
    /// What to expect of it.
    fn sentence(&self, method: &str, best_of: Option<usize>) -> String {
        let (words, (alone, pooled)) = (any_kind(), (self.alone, self.pooled));
        let (low, high) = (self.range[0], self.range[1]);
        if let Some(trials) = self.never_tried {
            return format!(
                "{method}: {}",
                borrowed::never_tried(&words, trials, pooled, [low, pooled, high])
            );
        }
        if self.succeeded == 0 {
            return format!("{method}: {}", none_of(self.wording, self.started));
        }
        let differs = (alone - pooled).abs() >= CURSE_MATTERS && in_hundred(alone) != in_hundred(pooled);
        match best_of {
            Some(among) if among > 1 && differs && alone > pooled => {
                planning::best_shrinks(&words, method, alone, among, pooled, (low, high))
            }
            _ if differs => planning::beside_others(&words, method, alone, pooled, (low, high)),
            _ => planning::try_next(&words, method, pooled, (low, high)),
        }
    }
}
