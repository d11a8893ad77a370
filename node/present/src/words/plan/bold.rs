//! What a treatment that nobody has tried could show.

use propagule_answer::said::BoldFacts;

use crate::words::InWords;
use crate::words::contrast::any_kind;
use crate::words::sentences::planning;

impl InWords for BoldFacts {
    fn words(&self) -> String {
        let Self { pieces, rate_shown, upper_if_none, .. } = *self;
        let words = any_kind();
        let new = planning::untried(&words, pieces, self.sure, rate_shown, upper_if_none);
        let again = self.again.map_or_else(String::new, |(now, then)| {
            format!(" {}", planning::untried_again(&words, pieces, now, then))
        });
        format!("{new}{again}")
    }
}
