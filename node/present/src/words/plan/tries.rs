//! Which method to try next.

use propagule_answer::said::TryFacts;

use crate::number::{end_in_hundred, in_hundred};
use crate::words::Of;
use crate::words::rate::none_of;

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
        let (alone, pooled) = (in_hundred(self.alone), in_hundred(self.pooled));
        let place = self.place_words();
        let differs = (self.alone - self.pooled).abs() >= CURSE_MATTERS && alone != pooled;
        match (self.place, differs) {
            (0, true) if self.alone > self.pooled => format!(
                "{method}: about {alone} in 100 by its own counts. The best of {} looks better than it is; allowing for \
                 that, expect about {pooled}, {place}.",
                self.among
            ),
            (_, true) => {
                format!(
                    "{method}: about {alone} in 100 by its own counts; beside the others about {pooled}, {place}."
                )
            }
            (_, false) => format!("{method}: about {pooled} in 100, {place}."),
        }
    }

    fn place_words(&self) -> String {
        let [low, high] = self.range;
        format!("anything from {} to {} at your place", end_in_hundred(low), end_in_hundred(high))
    }
}
