//! Commands within sentences: what is to be pasted stays in one piece.

use crate::document::Phrase;
use propagule_files::paste::pasteable;

/// A sentence; the command at its end, where there is one, is never broken.
pub(crate) fn ending_in_command(text: &str) -> Phrase {
    match text.rfind(": propagule ") {
        Some(at) => Phrase::from(&text[..at + 2]).code(&text[at + 2..]),
        None => Phrase::from(text),
    }
}

/// A command of the program, for the home in a folder that has to be named.
pub(super) fn propagule(named_home: Option<&str>, words: &str) -> String {
    match named_home {
        Some(home) => format!("propagule --home {} {words}", pasteable(home)),
        None => format!("propagule {words}"),
    }
}

#[cfg(test)]
mod tests {
    use crate::document::Document;
    use crate::text;

    #[test]
    fn a_command_at_the_end_comes_whole_on_a_line_of_its_own() {
        let said =
            "Records can travel in a file, too: propagule bundle export records.bundle --since 2026-09";
        let said = Document::new().say(super::ending_in_command(said));
        assert_eq!(
            text::render(&said, 60),
            "Records can travel in a file, too:\npropagule bundle export records.bundle --since 2026-09\n"
        );
    }
}
