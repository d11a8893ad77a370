//! The last line of an answer that changed something: how to take that back, where there is a command for it.

use propagule_files::paste::pasteable;

/// The line of a command; its words are quoted where a shell would read them otherwise.
pub(super) fn by(words: &[&str]) -> String {
    let words: Vec<String> = words.iter().map(|word| pasteable(word)).collect();
    format!("To take it back: propagule {}\n", words.join(" "))
}

/// The line of an entry of a trial.
pub(super) fn entry(trial: &str, number: u64) -> String {
    by(&["trial", "correct", trial, "--entry", &number.to_string(), "--take-back"])
}

/// The line of a trial's description, which is never taken back but can be corrected.
pub(super) fn mend(trial: &str) -> String {
    format!("To mend it: propagule trial correct {} --help\n", pasteable(trial))
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_line_can_be_pasted() {
        assert_eq!(super::by(&["care", "mist house"]), "To take it back: propagule care 'mist house'\n");
        assert_eq!(
            super::entry("M1", 9),
            "To take it back: propagule trial correct M1 --entry 9 --take-back\n"
        );
    }
}
