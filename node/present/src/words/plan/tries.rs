//! Which method to try next.

use propagule_answer::said::TryFacts;

use crate::number::in_hundred;
use crate::words::Of;
use crate::words::contrast::any_kind;
use crate::words::rate::none_of;
use crate::words::sentences::planning;

/// Points by which the two rates must differ to be worth a word.
const CURSE_MATTERS: f64 = 0.01;

/// A method among those to try next.
pub fn worth_a_try(facts: &TryFacts, method: &str) -> String {
    Of(facts).sentence(method)
}

impl Of<'_, TryFacts> {
    /// The sentence.
    fn sentence(&self, method: &str) -> String {
        if self.succeeded == 0 {
            return format!("{method}: {}", none_of(self.wording, self.started));
        }
        let (words, (alone, pooled)) = (any_kind(), (self.alone, self.pooled));
        let range = (self.range[0], self.range[1]);
        let differs = (alone - pooled).abs() >= CURSE_MATTERS && in_hundred(alone) != in_hundred(pooled);
        match (self.place, differs) {
            (0, true) if alone > pooled => {
                planning::best_shrinks(&words, method, alone, self.among, pooled, range)
            }
            (_, true) => planning::beside_others(&words, method, alone, pooled, range),
            (_, false) => planning::try_next(&words, method, pooled, range),
        }
    }
}
