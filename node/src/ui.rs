//! The only place that writes to the terminal: data to stdout, everything else to stderr.

use std::fmt::Display;
use std::io::{self, BufRead, ErrorKind, IsTerminal, Write};
use std::sync::atomic::{AtomicBool, Ordering};

use unicode_width::UnicodeWidthStr;

use propagule_files::fault::Fault;
use propagule_present::fault;
use propagule_present::outcome::Report;

/// Columns assumed when the output is not a terminal.
const PIPED_COLUMNS: usize = 100;
/// The narrowest and the widest text that is written.
const COLUMNS: (usize, usize) = (60, 120);

/// Whether an answer stands on stdout already.
static HAS_SHOWN: AtomicBool = AtomicBool::new(false);

/// How a command shows what it has to say.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Ui {
    pub(crate) json: bool,
}

impl Ui {
    /// Columns to write to.
    #[expect(clippy::unused_self, reason = "all that the terminal knows is asked of one value")]
    pub(crate) fn width(self) -> usize {
        let of_environment = std::env::var("COLUMNS").ok().and_then(|columns| columns.parse().ok());
        let of_terminal = propagule_files::system::terminal_columns;
        let columns = of_environment.or_else(of_terminal).filter(|columns| *columns > 0);
        columns.unwrap_or(PIPED_COLUMNS).clamp(COLUMNS.0, COLUMNS.1)
    }

    /// Shows a report, as text or as JSON.
    pub(crate) fn show(self, report: &Report) -> Result<(), Fault> {
        if self.json {
            let text = serde_json::to_string_pretty(&report.json).expect("JSON values serialise");
            HAS_SHOWN.store(true, Ordering::Relaxed);
            self.out(&format!("{text}\n"))
        } else {
            self.out(&wrapped(&visible(&report.text), self.width()))
        }
    }

    /// Writes to stdout; a reader that went away ends the program quietly.
    #[expect(clippy::unused_self, reason = "all printing goes through one value")]
    pub(crate) fn out(self, text: &str) -> Result<(), Fault> {
        let mut out = io::stdout().lock();
        match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
            Err(e) if e.kind() != ErrorKind::BrokenPipe => {
                Err(Fault::environment("output-unwritable").because(e))
            }
            _ => Ok(()),
        }
    }

    /// Writes a line to stderr: progress and notes, never data.
    #[expect(clippy::unused_self, reason = "all printing goes through one value")]
    pub(crate) fn note(self, text: impl Display) {
        // There is nowhere left to complain to.
        let _ = writeln!(io::stderr().lock(), "{}", visible(&text.to_string()));
    }

    /// Says what could not be done: on stderr, or as JSON on stdout.
    pub(crate) fn fail(self, failure: &Fault) {
        // One document on stdout: a command whose answer stands there already says on stderr what is wrong with it.
        if !self.json || HAS_SHOWN.load(Ordering::Relaxed) {
            return self.note(fault::text(failure));
        }
        let text = serde_json::to_string_pretty(&fault::json(failure)).expect("JSON values serialise");
        // There is nowhere left to complain to.
        let _ = self.out(&format!("{text}\n"));
    }

    /// Whether a person can be asked.
    pub(crate) fn can_ask(self) -> bool {
        !self.json && io::stdin().is_terminal() && io::stdout().is_terminal()
    }

    /// Asks for a line, at a terminal or from what is piped in; `None` at its end.
    pub(crate) fn line(self, prompt: &str) -> Result<Option<String>, Fault> {
        self.out(&visible(prompt))?;
        let mut line = String::new();
        let read = io::stdin()
            .lock()
            .read_line(&mut line)
            .map_err(|e| Fault::environment("answer-unreadable").because(e))?;
        Ok((read > 0).then_some(line))
    }

    /// Asks a yes/no question of whoever answers lines; anything but a yes is a no.
    pub(crate) fn agrees(self, question: &str) -> Result<bool, Fault> {
        let line = self.line(&format!("{question} [y/N] "))?.unwrap_or_default();
        Ok(matches!(line.trim().to_lowercase().as_str(), "y" | "yes"))
    }

    /// Asks a yes/no question; anything but a yes is a no.
    pub(crate) fn ask(self, question: &str) -> Result<bool, Fault> {
        self.out(&format!("{} [y/N] ", visible(question)))?;
        let mut line = String::new();
        io::stdin()
            .lock()
            .read_line(&mut line)
            .map_err(|e| Fault::environment("answer-unreadable-say-yes").because(e))?;
        Ok(matches!(line.trim().to_lowercase().as_str(), "y" | "yes"))
    }
}

/// A line on the terminal that shows how far something has come; nothing where stderr is no terminal.
#[derive(Debug)]
pub(crate) struct Progress {
    what: &'static str,
    total: u64,
    shown: Option<u64>,
}

/// Columns of the bar itself.
const BAR: u64 = 30;

impl Progress {
    /// Of a whole of `total`, of which the bar shows a part.
    pub(crate) fn new(ui: Ui, what: &'static str, total: u64) -> Self {
        let is_shown = !ui.json && total > 0 && io::stderr().is_terminal();
        Self { what, total, shown: is_shown.then_some(u64::MAX) }
    }

    /// Shows that `done` of the whole is done.
    pub(crate) fn at(&mut self, done: u64) {
        let Some(shown) = self.shown else { return };
        let hundredths = done.min(self.total).saturating_mul(100) / self.total;
        if hundredths != shown {
            self.shown = Some(hundredths);
            // There is nowhere left to complain to.
            let _ = write!(io::stderr().lock(), "\r{} {}", self.what, bar(hundredths));
        }
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if self.shown.is_some() {
            let blank = " ".repeat(self.what.len() + BAR as usize + 8);
            let _ = write!(io::stderr().lock(), "\r{blank}\r");
        }
    }
}

/// `[######------]  50 %`
fn bar(hundredths: u64) -> String {
    let full = (hundredths * BAR / 100) as usize;
    format!("[{}{}] {hundredths:3} %", "#".repeat(full), "-".repeat(BAR as usize - full))
}

/// Text without what would steer a terminal: labels come from files that others may have written.
fn visible(text: &str) -> String {
    let steers = |c: char| {
        (c.is_control() && c != '\n')
            || matches!(c, '\u{200E}' | '\u{200F}' | '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}')
    };
    text.replace(steers, "\u{FFFD}")
}

/// Breaks lines at spaces so that they fit; what follows is set in by two columns more than the line.
pub(crate) fn wrapped(text: &str, width: usize) -> String {
    let mut out = String::with_capacity(text.len());
    for line in text.lines() {
        wrap_line(&mut out, line, width);
        out.push('\n');
    }
    out
}

fn wrap_line(out: &mut String, line: &str, width: usize) {
    // A command to be pasted stays in one piece.
    let is_command = ["propagule ", "hint: "].iter().any(|start| line.trim_start().starts_with(start));
    if is_command || line.width() <= width {
        out.push_str(line);
        return;
    }
    let indent = line.len() - line.trim_start().len();
    let (mut column, mut gap) = (indent, 0);
    out.push_str(&line[..indent]);
    // Between words that stay in a line its own spaces stay too: they may line up with others.
    for word in pieces(line.trim_start()) {
        if word.is_empty() {
            gap += 1;
            continue;
        }
        if column > indent && column + gap + word.width() > width {
            out.push('\n');
            column = indent + 2;
            out.extend(std::iter::repeat_n(' ', column));
        } else {
            out.extend(std::iter::repeat_n(' ', gap));
            column += gap;
        }
        out.push_str(word);
        column += word.width();
        gap = 1;
    }
}

/// Words between which a line may be broken: a command that ends a sentence is one.
fn pieces(line: &str) -> impl Iterator<Item = &str> {
    let command = line.rfind(": propagule ").map(|at| at + 2).filter(|at| !line[*at..].contains("  "));
    let (words, command) = line.split_at(command.unwrap_or(line.len()));
    let words = if command.is_empty() { words } else { words.trim_end() };
    words.split(' ').chain(Some(command).filter(|command| !command.is_empty()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_lines_are_broken_and_short_ones_left_alone() {
        let text = "  a table   row\n  one two three four five six\nan-address-without-any-space\n";
        let expected =
            "  a table   row\n  one two three\n    four five\n    six\nan-address-without-any-space\n";
        assert_eq!(wrapped(text, 16), expected);
    }

    #[test]
    fn what_lines_up_stays_in_line() {
        assert_eq!(wrapped("ok   store   one two three four\n", 20), "ok   store   one two\n  three four\n");
    }

    #[test]
    fn a_command_to_be_pasted_stays_in_one_piece() {
        let text = "  propagule --home /a/long/path serve\n";
        assert_eq!(wrapped(text, 16), text);
    }

    #[test]
    fn a_command_behind_a_sentence_comes_whole_on_a_line_of_its_own() {
        let text = "To take it back: propagule circle untrust 3f9a1c22\n";
        assert_eq!(wrapped(text, 60), text);
        assert_eq!(wrapped(text, 30), "To take it back:\n  propagule circle untrust 3f9a1c22\n");
        let more = "Next: propagule check M1    (every two weeks)\n";
        assert_eq!(wrapped(more, 24), "Next: propagule check M1\n  (every two weeks)\n");
    }

    #[test]
    fn the_bar_fills_up() {
        assert_eq!(bar(0), format!("[{}]   0 %", "-".repeat(30)));
        assert_eq!(bar(50), format!("[{}{}]  50 %", "#".repeat(15), "-".repeat(15)));
        assert_eq!(bar(100), format!("[{}] 100 %", "#".repeat(30)));
    }

    #[test]
    fn nothing_that_steers_a_terminal_reaches_it() {
        assert_eq!(visible("a\u{1b}[31mb\u{202e}c\nd"), "a\u{fffd}[31mb\u{fffd}c\nd");
    }
}
