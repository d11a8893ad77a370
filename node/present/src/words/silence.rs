//! Sentences on trials that were opened and never reported.

use super::counted;
use crate::number::{percent_range, percent_with_range};
use propagule_answer::said::Rates;
use propagule_evidence::Silence;

/// What became of the trials that were opened.
pub fn silence_words(silence: &Silence) -> String {
    let Silence { opened, reported, pending, silent, withdrawn } = *silence;
    format!(
        "{} opened on the network before a count: {reported} reported, {pending} pending, {silent} silent, {withdrawn} \
         taken back.",
        counted(opened, "trial", "trials")
    )
}

/// Said beside an answer while trials are silent.
pub fn silent_trials(silent: usize) -> String {
    let (trials, are) = if silent == 1 { ("1 trial", "is") } else { (&*format!("{silent} trials"), "are") };
    format!(
        "{trials} opened on the network {are} overdue and silent: failures are the likelier to stay untold."
    )
}

/// The headline with silent trials as nothing rooted.
pub fn silent_as_zero_words(method: Option<&str>, rates: &Rates) -> String {
    let [low, _, high] = rates.new_grower_points;
    let subject = method.map_or_else(String::new, |method| format!("{method}: "));
    format!(
        "{subject}if nothing came of the silent trials, average grower {}, a new grower {}.",
        percent_with_range(rates.average, rates.average_points),
        percent_range(low, high)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn silence_is_counted_at_0_1_and_n() {
        let none = Silence { opened: 1, reported: 1, ..Silence::default() };
        assert_eq!(
            silence_words(&none),
            "1 trial opened on the network before a count: 1 reported, 0 pending, 0 silent, 0 taken back."
        );
        let all = Silence { opened: 4, silent: 4, ..Silence::default() };
        assert!(
            silence_words(&all).starts_with("4 trials opened") && silence_words(&all).contains("4 silent")
        );
        assert!(silent_trials(1).starts_with("1 trial opened on the network is overdue"));
        assert!(silent_trials(4).starts_with("4 trials opened on the network are overdue"));
    }

    #[test]
    fn the_other_reading_keeps_its_ranges() {
        let rates =
            Rates { average: 0.12, average_points: [0.05, 0.11, 0.21], new_grower_points: [0.01, 0.1, 0.4] };
        let tail =
            "if nothing came of the silent trials, average grower 12 % (5.0–21 %), a new grower 1.0–40 %.";
        assert_eq!(silent_as_zero_words(None, &rates), tail);
        assert_eq!(silent_as_zero_words(Some("heel"), &rates), format!("heel: {tail}"));
    }
}
