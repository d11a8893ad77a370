//! What allowing for many comparisons adds to sentences about methods.

use propagule_answer::said::Ranked;

use super::contrast::any_kind;
use super::sentences::beside;
use super::{counted, grouped};

/// A fit did not settle.
pub(super) const FIT_FAILED: &str =
    "The comparison of several methods at once did not settle, so none of them is called better.";

/// `Judged from 200 of 12,400 trials.`, where not all were taken.
pub(super) fn judged_from(from: Option<[usize; 2]>) -> String {
    let Some([trials, of]) = from else { return String::new() };
    let number = |count: usize| grouped(count as u64);
    format!(" Judged from {} of {} trials.", number(trials), number(of))
}

/// Why no method leads, with the pairs that are clear.
pub(super) fn none_stands_out(ranked: &Ranked) -> String {
    if ranked.ahead.is_empty() {
        return beside::rank_none(&any_kind(), ranked.trials);
    }
    beside::rank_pairs(&any_kind(), &ranked.ahead, ranked.trials)
}

/// What is said where more methods are linked than are looked at.
pub fn methods_looked_at(methods: usize, of: usize) -> Option<String> {
    let more = of.checked_sub(methods).filter(|more| *more > 0)?;
    let is = if more == 1 { "is" } else { "are" };
    Some(format!("{} with fewer started {is} not shown here.", counted(more, "method", "methods")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_not_taken_is_said() {
        assert_eq!(judged_from(None), "");
        assert_eq!(judged_from(Some([200, 12_400])), " Judged from 200 of 12,400 trials.");
        assert_eq!(methods_looked_at(24, 24), None);
        assert_eq!(
            methods_looked_at(24, 25).as_deref(),
            Some("1 method with fewer started is not shown here.")
        );
    }
}
