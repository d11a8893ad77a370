//! Sentences on trials that were announced and never reported.

use propagule_answer::said::{Rates, Wording};
use propagule_evidence::Silence;

use super::contrast::any_kind;
use super::sentences::pooled;
use super::vocabulary::PieceWords;

/// What became of the trials that were announced.
pub fn silence_words(silence: &Silence) -> String {
    let Silence { opened, reported, pending, silent, withdrawn } = *silence;
    pooled::announced(&any_kind(), opened, [reported, pending, silent, withdrawn])
}

/// Said beside an answer while trials are overdue.
pub fn silent_trials(silent: usize) -> String {
    pooled::overdue(&any_kind(), silent)
}

/// The headline with overdue trials as nothing rooted.
pub fn silent_as_zero_words(method: Option<&str>, wording: Wording, rates: &Rates) -> String {
    let said = pooled::overdue_as_zero(
        &wording.kind(),
        wording.outcome,
        rates.average,
        rates.average_points,
        rates.new_grower_points,
    );
    method.map_or_else(|| said.clone(), |method| format!("{method}: {said}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn silence_is_counted_at_0_1_and_n() {
        let none = Silence { opened: 1, reported: 1, ..Silence::default() };
        assert_eq!(
            silence_words(&none),
            "1 trial was announced before any count: 1 reported, 0 not due, 0 overdue, 0 withdrawn."
        );
        let all = Silence { opened: 4, silent: 4, ..Silence::default() };
        assert!(
            silence_words(&all).starts_with("4 trials were announced")
                && silence_words(&all).contains("4 overdue")
        );
        assert!(silent_trials(1).starts_with("1 announced trial is overdue"));
        assert!(silent_trials(4).starts_with("4 announced trials are overdue"));
    }

    #[test]
    fn the_other_reading_keeps_its_ranges() {
        let rates =
            Rates { average: 0.12, average_points: [0.05, 0.11, 0.21], new_grower_points: [0.01, 0.1, 0.4] };
        let tail = "If nothing rooted in the overdue trials: average 12% (5.0\u{2013}21%); a grower not \
             in the data, 1.0\u{2013}40%.";
        let cuttings =
            Wording::new(propagule_evidence::Family::Cuttings, propagule_evidence::Outcome::Rooted);
        assert_eq!(silent_as_zero_words(None, cuttings, &rates), tail);
        assert_eq!(silent_as_zero_words(Some("heel"), cuttings, &rates), format!("heel: {tail}"));
    }
}
