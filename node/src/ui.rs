//! The only place that writes to the terminal: data to stdout, everything else to stderr.

use std::fmt::Display;
use std::io::{self, BufRead, ErrorKind, IsTerminal, Write};

use crate::app::Report;
use crate::error::Failure;

/// Columns assumed when the output is not a terminal.
const PIPED_COLUMNS: usize = 100;
/// The narrowest and the widest text that is written.
const COLUMNS: (usize, usize) = (60, 120);

/// How a command shows what it has to say.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Ui {
    pub(crate) json: bool,
}

impl Ui {
    /// Columns to write to.
    pub(crate) fn width(self) -> usize {
        let of_environment = std::env::var("COLUMNS").ok().and_then(|columns| columns.parse().ok());
        let of_terminal = || rustix::termios::tcgetwinsize(io::stdout()).ok().map(|size| usize::from(size.ws_col));
        let columns = of_environment.or_else(of_terminal).filter(|columns| *columns > 0);
        columns.unwrap_or(PIPED_COLUMNS).clamp(COLUMNS.0, COLUMNS.1)
    }

    /// Shows a report, as text or as JSON.
    pub(crate) fn show(self, report: &Report) -> Result<(), Failure> {
        if self.json {
            let text = serde_json::to_string_pretty(&report.json).expect("JSON values serialise");
            self.out(&format!("{text}\n"))
        } else {
            self.out(&report.text)
        }
    }

    /// Writes to stdout; a reader that went away ends the program quietly.
    pub(crate) fn out(self, text: &str) -> Result<(), Failure> {
        let mut out = io::stdout().lock();
        match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
            Err(e) if e.kind() != ErrorKind::BrokenPipe => Err(Failure::environment("cannot write the answer", e)),
            _ => Ok(()),
        }
    }

    /// Writes a line to stderr: progress and notes, never data.
    pub(crate) fn note(self, text: impl Display) {
        // There is nowhere left to complain to.
        let _ = writeln!(io::stderr().lock(), "{text}");
    }

    /// Whether a person can be asked.
    pub(crate) fn can_ask(self) -> bool {
        !self.json && io::stdin().is_terminal() && io::stdout().is_terminal()
    }

    /// Asks a yes/no question; anything but a yes is a no.
    pub(crate) fn ask(self, question: &str) -> Result<bool, Failure> {
        self.out(&format!("{question} [y/N] "))?;
        let mut line = String::new();
        io::stdin().lock().read_line(&mut line).map_err(|e| Failure::environment("cannot read the answer", e))?;
        Ok(matches!(line.trim().to_lowercase().as_str(), "y" | "yes"))
    }
}
