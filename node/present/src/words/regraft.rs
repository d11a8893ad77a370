//! Sentences on rootstocks that were grafted again.

use super::sentences::number_of;
use super::vocabulary::PieceWords;
use crate::number::grouped;
use propagule_answer::said::Wording;

/// What became of rootstocks on which an earlier trial failed, beside the headline.
pub(super) fn regrafts(wording: Wording, succeeded: u32, started: u32, trials: usize) -> String {
    format!(
        "Grafted again on the same rootstocks, in {}, and not counted above: {} of {} {}.",
        number_of(trials, "trial", "trials"),
        grouped(u64::from(succeeded)),
        grouped(u64::from(started)),
        wording.did(),
    )
}

/// How to have them counted.
pub const WITH_REGRAFTS: &str = "--with-regrafts counts them.";

#[cfg(test)]
mod tests {
    use super::*;
    use propagule_evidence::Family;
    use propagule_evidence::Outcome;

    #[test]
    fn stocks_worked_again_are_said_at_0_1_and_n() {
        let said = |succeeded, started, trials| {
            regrafts(Wording::new(Family::Grafts, Outcome::Rooted), succeeded, started, trials)
        };
        let expected =
            "Grafted again on the same rootstocks, in 1 trial, and not counted above: 4 of 9 took.";
        assert_eq!(said(4, 9, 1), expected);
        assert!(said(0, 9, 1).ends_with("0 of 9 took."));
        assert!(said(1, 1, 2).ends_with("in 2 trials, and not counted above: 1 of 1 took."));
    }
}
