//! Sentences about trials that were opened and what became of them.

use super::number::{counted, percent};

/// `Opened: 12 trials; 9 reported, 1 pending, 2 silent.`, parts that are none left out.
pub fn silence(opened: usize, reported: usize, pending: usize, silent: usize, withdrawn: usize) -> String {
    let parts =
        [(reported, "reported"), (pending, "not due yet"), (silent, "silent"), (withdrawn, "taken back")];
    let parts: Vec<String> =
        parts.iter().filter(|(count, _)| *count > 0).map(|(count, word)| format!("{count} {word}")).collect();
    format!(
        "Opened on the day they were put in: {}; {}.",
        counted(opened, "trial", "trials"),
        parts.join(", ")
    )
}

/// The average with silent trials as nothing rooted.
pub fn silent_as_zero(method: &str, average: f64, with_silent: f64) -> String {
    format!(
        "{method}: if nothing rooted in the silent trials the average grower's rate is {} %, not {} %.",
        percent(with_silent),
        percent(average)
    )
}

/// What the average is without one grower, and where that grower lies among the others.
pub fn without_grower(method: &str, grower: &str, average: f64, moved: f64, percentile: f64) -> String {
    let grower: String = grower.chars().take(16).collect();
    let direction = if moved < 0.0 { "down" } else { "up" };
    format!(
        "{method}, without {grower}: {} % ({} points {direction}); {} in 100 such growers would have a lower count.",
        percent(average),
        percent(moved.abs()),
        super::number::in_hundred(percentile)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_there_is_is_said() {
        assert_eq!(
            silence(12, 9, 1, 2, 0),
            "Opened on the day they were put in: 12 trials; 9 reported, 1 not due yet, 2 silent."
        );
        assert_eq!(silence(1, 0, 0, 1, 0), "Opened on the day they were put in: 1 trial; 1 silent.");
        assert!(silence(3, 0, 0, 0, 3).ends_with("3 trials; 3 taken back."));
        assert_eq!(
            without_grower("all methods", "g6", 0.193, -0.033, 0.9),
            "all methods, without g6: 19 % (3.3 points down); 90 in 100 such growers would have a lower count."
        );
        assert!(
            without_grower("m", "a-very-long-label-of-a-key", 0.2, 0.0, 0.001).contains("a-very-long-labe:")
        );
        assert!(silent_as_zero("all methods", 0.5, 0.25).contains("is 25 %, not 50 %"));
    }
}
