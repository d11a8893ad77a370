//! Lines of a given width, counted in columns of the terminal.

mod table;

pub(crate) use table::table;

use unicode_width::UnicodeWidthStr;

use crate::clean::clean;
use crate::phrase::{Phrase, Style};

/// Columns that `text` takes.
pub(crate) fn columns(text: &str) -> usize {
    UnicodeWidthStr::width(text)
}

/// `text` with spaces up to `width`.
pub(crate) fn pad_right(text: &str, width: usize) -> String {
    format!("{text}{}", " ".repeat(width.saturating_sub(columns(text))))
}

/// `text` after spaces up to `width`.
pub(crate) fn pad_left(text: &str, width: usize) -> String {
    format!("{}{text}", " ".repeat(width.saturating_sub(columns(text))))
}

/// Text being written, line by line.
#[derive(Clone, Debug)]
pub(crate) struct Lines {
    text: String,
    width: usize,
    /// Columns by which lines are set in.
    pub(crate) indent: usize,
}

impl Lines {
    /// Nothing yet.
    pub(crate) const fn new(width: usize) -> Self {
        Self { text: String::new(), width, indent: 0 }
    }

    /// What was written.
    pub(crate) fn into_text(self) -> String {
        self.text
    }

    /// Columns that a line has behind the indent.
    pub(crate) const fn room(&self) -> usize {
        self.width.saturating_sub(self.indent)
    }

    /// How much was written.
    pub(crate) const fn len(&self) -> usize {
        self.text.len()
    }

    /// Takes back what was written after the first `len` bytes.
    pub(crate) fn cut(&mut self, len: usize) {
        self.text.truncate(len);
    }

    /// Writes with lines set in by so many columns more.
    pub(crate) fn set_in(&mut self, by: usize, write: impl FnOnce(&mut Self)) {
        self.indent += by;
        write(self);
        self.indent -= by;
    }

    /// One line, without spaces at its end.
    pub(crate) fn push(&mut self, line: &str) {
        let line = format!("{}{line}", " ".repeat(self.indent));
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }

    /// An empty line, but not at the top and never two of them.
    pub(crate) fn blank(&mut self) {
        if !self.text.is_empty() && !self.text.ends_with("\n\n") {
            self.text.push('\n');
        }
    }

    /// Words in as many lines as they take; a word longer than a line is left whole. No words are no line.
    pub(crate) fn wrap(&mut self, words: &[String]) {
        self.hang(words, 0);
    }

    /// The same with all lines but the first set in by so many columns more.
    pub(crate) fn hang(&mut self, words: &[String], by: usize) {
        let mut lines = hanging(words, self.room(), by).into_iter();
        if let Some(first) = lines.next() {
            self.push(&first);
        }
        self.set_in(by, |rest| lines.for_each(|line| rest.push(&line)));
    }

    /// The same for plain text.
    pub(crate) fn wrap_text(&mut self, text: &str) {
        self.wrap(&words(&Phrase::from(text)));
    }
}

/// Words as lines of at most `room` columns.
pub(crate) fn broken(words: &[String], room: usize) -> Vec<String> {
    hanging(words, room, 0)
}

/// The same where all lines but the first have `by` columns less.
fn hanging(words: &[String], room: usize, by: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in words {
        let room = if lines.is_empty() { room } else { room.saturating_sub(by) };
        if !line.is_empty() && columns(&line) + 1 + columns(word) > room {
            lines.push(std::mem::take(&mut line));
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// Words between which a line may break: never before the sign of a per cent, never within what is typed.
pub(crate) fn words(phrase: &Phrase) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    // Whether the last word may go on in the next run.
    let mut is_open = false;
    for run in &phrase.runs {
        let text = clean(&run.text);
        let mut pieces: Vec<String> = text.split_whitespace().map(str::to_owned).collect();
        if run.style == Style::Code && !pieces.is_empty() {
            pieces = vec![pieces.join(" ")];
        }
        let goes_on = is_open && !text.starts_with(char::is_whitespace);
        for (index, piece) in pieces.into_iter().enumerate() {
            match words.last_mut() {
                Some(last) if index == 0 && goes_on => last.push_str(&piece),
                Some(last) if piece.starts_with('%') && run.style != Style::Code => {
                    last.push(' ');
                    last.push_str(&piece);
                }
                _ => words.push(piece),
            }
        }
        if run.style == Style::Break {
            is_open = false;
        } else if !text.is_empty() {
            is_open = !text.ends_with(char::is_whitespace);
        }
    }
    words
}

/// A phrase in one line.
pub(crate) fn line(phrase: &Phrase) -> String {
    words(phrase).join(" ")
}

/// A label in one line.
pub(crate) fn label(text: &str) -> String {
    line(&Phrase::from(text))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_break_between_words_and_never_before_a_per_cent() {
        let said = broken(&words(&"about 23 % of them, or 24 %".into()), 10);
        assert_eq!(said, ["about 23 %", "of them,", "or 24 %"]);
    }

    #[test]
    fn lines_that_hang_are_set_in_and_keep_to_the_width() {
        let mut lines = Lines::new(10);
        lines.hang(&words(&"one two three four five".into()), 2);
        assert_eq!(lines.into_text(), "one two\n  three\n  four\n  five\n");
    }

    #[test]
    fn what_is_typed_stays_in_one_piece_and_runs_meet_without_a_space() {
        let phrase = Phrase::from("type (").code("propagule  undo M2").then("), then").strong(" wait");
        assert_eq!(words(&phrase), ["type", "(propagule undo M2),", "then", "wait"]);
        assert_eq!(words(&Phrase::from("a").line().then("b")), ["a", "b"]);
    }

    #[test]
    fn wide_characters_take_two_columns_and_combining_ones_none() {
        assert_eq!(
            broken(&words(&"\u{6f22}\u{5b57} e\u{301}e\u{301}".into()), 7),
            ["\u{6f22}\u{5b57} e\u{301}e\u{301}"]
        );
        assert_eq!(broken(&words(&"\u{6f22}\u{5b57} e\u{301}e\u{301}".into()), 6).len(), 2);
        assert_eq!(
            (pad_left("\u{6f22}", 4), pad_right("e\u{301}", 3)),
            ("  \u{6f22}".into(), "e\u{301}  ".into())
        );
    }
}
