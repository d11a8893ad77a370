//! What holds for every document, however hostile its words, and for every chart.

mod charts;
mod documents;
mod expected;
mod page;
mod pictures;

use std::collections::BTreeMap;

use propagule_present::document::Document;
use propagule_present::{html, text};
use proptest::prelude::*;
use unicode_width::UnicodeWidthStr;

use documents::document;
use expected::Expected;

/// Whether a line that is too wide could not have been broken: it is one word, or one command that is pasted whole.
fn is_one_word(line: &str, commands: &[String]) -> bool {
    let line = commands.iter().fold(line.trim().to_owned(), |line, command| line.replace(command, "command"));
    // A line never breaks before the sign of a per cent.
    line.split_whitespace().filter(|word| !word.starts_with('%')).count() <= 1
}

fn times(text: &str, mark: &str) -> usize {
    text.matches(mark).count()
}

proptest! {
    #[test]
    fn text_is_never_wider_than_asked_but_for_a_word_that_cannot_be_broken(said in document(), width in 40..160_usize) {
        let expected = Expected::of(&said);
        let text = text::render(&said, width);
        for line in text.lines() {
            let is_narrow = line.width() <= text::usable_width(width);
            prop_assert!(is_narrow || is_one_word(line, &expected.commands), "{}: {line:?}", line.width());
            prop_assert!(!line.ends_with(char::is_whitespace), "{line:?}");
            prop_assert!(!line.contains(|c: char| c.is_control() || c == '\u{202e}'), "{line:?}");
        }
        prop_assert!(!text.starts_with('\n') && !text.contains("\n\n\n"), "{text}");
    }

    #[test]
    fn every_word_is_said_once_in_text(said in document(), width in 60..120_usize) {
        let text = text::render(&said, width);
        for words in Expected::of(&said).words {
            let found = times(&text, &words.mark);
            match words.in_text {
                expected::Times::Once => prop_assert_eq!(found, 1, "{}: {}", words.mark, text),
                expected::Times::Never => prop_assert_eq!(found, 0, "{}: {}", words.mark, text),
                // Headings of columns stand at each cell where a table is too wide for columns.
                expected::Times::Any => {}
            }
        }
    }

    #[test]
    fn every_word_is_said_once_on_a_page_as_it_was_given_and_as_text(said in document()) {
        let read = page::read(&html::render(&said).into_string());
        let mut at: BTreeMap<&str, usize> = BTreeMap::new();
        for words in &Expected::of(&said).words {
            let found = times(&read.text, &words.mark);
            prop_assert_eq!(found, usize::from(words.on_page), "{}: {}", &words.mark, &read.text);
            if words.on_page {
                prop_assert!(read.text.contains(&words.clean), "{:?}: {}", &words.clean, &read.text);
                at.insert(&words.mark, read.text.find(&words.mark).expect("it was found"));
            }
        }
    }

    #[test]
    fn a_page_has_the_elements_of_a_document_and_no_other(said in document()) {
        let read = page::read(&html::render(&said).into_string());
        prop_assert!(read.strange.is_empty(), "{:?}", read.strange);
    }

    #[test]
    fn a_document_comes_back_from_json_as_it_was(said in document()) {
        let json = serde_json::to_string(&said).expect("plain data");
        let back: Document = serde_json::from_str(&json).expect("what was written");
        prop_assert_eq!(back, said);
    }
}
