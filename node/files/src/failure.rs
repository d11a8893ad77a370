//! What a command says when it cannot do what it was asked: what failed, where, why, and what now.

use std::fmt;
use std::io;
use std::path::Path;

use serde::{Deserialize, Serialize};

use crate::journal::StoreError;
use crate::table::TableError;

/// Which exit code a failure leads to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum FailureKind {
    /// Exit code 1: bad input, nothing found, not allowed yet.
    Expected,
    /// Exit code 2: used wrongly, or the machine is in the way.
    Environment,
    /// Exit code 2: another process has the home.
    Busy,
}

/// A failure for the person at the keyboard. Travels over the local socket too.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Failure {
    kind: FailureKind,
    what: String,
    why: Option<String>,
    hints: Vec<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    asks: Option<Asks>,
}

/// What a failure asks, so that an answer can take it away.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Asks {
    /// Whether it is so, unusual as it is.
    IsItSo,
    /// Whether it replaces what is there, or is another one.
    InsteadOrAgain,
}

/// How a question can be answered: each is an option of the command, and a button of the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Answer {
    /// It is so: `--yes`.
    Yes,
    /// It replaces what is there: `--instead`.
    Instead,
    /// It is another one: `--again`.
    Again,
}

impl Failure {
    /// Something that happens in ordinary use.
    pub fn expected(what: impl Into<String>) -> Self {
        Self { kind: FailureKind::Expected, what: what.into(), why: None, hints: Vec::new(), asks: None }
    }

    /// Wrong use, or a home that this version cannot work with.
    pub fn usage(what: impl Into<String>) -> Self {
        Self { kind: FailureKind::Environment, ..Self::expected(what) }
    }

    /// The machine is in the way.
    pub fn environment(what: impl Into<String>, why: impl fmt::Display) -> Self {
        Self { why: Some(why.to_string()), ..Self::usage(what) }
    }

    /// A file operation that the system refused.
    pub fn file(what: &str, path: &Path, why: io::Error) -> Self {
        StoreError::Io { what: "use", path: path.into(), source: why }.describe(what)
    }

    /// The same failure, said to be of this file.
    #[must_use]
    pub fn of_file(mut self, path: &Path) -> Self {
        self.what = format!("{}: {}", path.display(), self.what);
        self
    }

    /// Another process has the home.
    pub fn busy(what: impl Into<String>) -> Self {
        Self { kind: FailureKind::Busy, ..Self::expected(what) }
    }

    /// Whether another process has the home, so that trying again may help.
    pub fn is_busy(&self) -> bool {
        self.kind == FailureKind::Busy
    }

    /// Adds what to do now.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hints.push(hint.into());
        self
    }

    /// Makes a question of it.
    #[must_use]
    pub fn asks(mut self, asks: Asks) -> Self {
        self.asks = Some(asks);
        self
    }

    /// How it can be answered, where it is a question.
    pub fn possible_answers(&self) -> &'static [Answer] {
        match self.asks {
            None => &[],
            Some(Asks::IsItSo) => &[Answer::Yes],
            Some(Asks::InsteadOrAgain) => &[Answer::Instead, Answer::Again],
        }
    }

    /// Adds what to do now where nobody has said it closer to the fault.
    #[must_use]
    pub fn or_hint(self, hint: impl Into<String>) -> Self {
        if self.hints.is_empty() { self.hint(hint) } else { self }
    }

    /// Adds what was perhaps meant, or where nothing is near, what to do instead.
    #[must_use]
    pub fn did_you_mean(self, near: &[String], otherwise: impl Into<String>) -> Self {
        if near.is_empty() {
            self.hint(otherwise)
        } else {
            self.hint(format!("did you mean {}?", near.join(", ")))
        }
    }

    /// The exit code.
    pub fn exit_code(&self) -> u8 {
        match self.kind {
            FailureKind::Expected => 1,
            FailureKind::Environment | FailureKind::Busy => 2,
        }
    }

    /// The first part, without reason and hints.
    pub fn what(&self) -> &str {
        &self.what
    }

    /// The reason, where there is one beside the first part.
    pub fn why(&self) -> Option<&str> {
        self.why.as_deref()
    }

    /// What to do now.
    pub fn hints(&self) -> &[String] {
        &self.hints
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "error: {}", self.what)?;
        if let Some(why) = &self.why {
            write!(f, ": {why}")?;
        }
        self.hints.iter().try_for_each(|hint| write!(f, "\nhint: {hint}"))
    }
}

impl std::error::Error for Failure {}

impl StoreError {
    /// The failure in words, with `what` was being done to which file.
    fn describe(self, what: &str) -> Failure {
        let (full, read_only) = (self.is_disk_full(), self.is_read_only());
        let (failure, kind) = match self {
            Self::Io { path, source, .. } => {
                let kind = source.kind();
                (Failure::environment(format!("cannot {what} {}", path.display()), source), kind)
            }
            other => return Failure::usage(other.to_string()),
        };
        if full {
            return failure
                .hint("the disk is full: free some space and try again; nothing acknowledged was lost");
        }
        if read_only {
            return failure.hint(
                "this folder cannot be written: check its owner and mode, or choose another with --home",
            );
        }
        failure.hint(match kind {
            io::ErrorKind::NotFound => {
                "look at the spelling of the path, or go to the folder that holds the file"
            }
            io::ErrorKind::IsADirectory => "that is a folder: name a file",
            io::ErrorKind::NotADirectory | io::ErrorKind::AlreadyExists => {
                "a file stands where a folder is needed: move it away, or choose another path"
            }
            _ => "look at that path: whether it is what it should be, its owner and its mode",
        })
    }
}

impl From<TableError> for Failure {
    fn from(error: TableError) -> Self {
        let failure = Self::expected(error.to_string());
        error.hints().into_iter().fold(failure, Failure::hint)
    }
}

impl From<StoreError> for Failure {
    fn from(error: StoreError) -> Self {
        let what = if let StoreError::Io { what, .. } = &error { *what } else { "use" };
        let hint = match &error {
            StoreError::NewerFormat { .. } => {
                Some("use the newer version of propagule that wrote it; nothing was changed")
            }
            StoreError::OtherHome { .. } => {
                Some("move that file out of this home; records travel by `propagule bundle`")
            }
            StoreError::Poisoned => Some("stop this process and start again; what was acknowledged is safe"),
            StoreError::Index { .. } => Some(
                "move the folder `index` out of the home and try again: it is built anew from the journal",
            ),
            StoreError::Io { .. } => None,
        };
        let failure = error.describe(what);
        hint.map_or(failure.clone(), |hint| failure.hint(hint))
    }
}
