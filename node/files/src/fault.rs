//! What a use case answers when it cannot do what it was asked: a code with its parameters, never a sentence.
//!
//! The words of each code, and what to do then, stand in one place for all screens (`present`).

mod code;

use std::collections::BTreeMap;
use std::fmt::{self, Display};
use std::io;
use std::ops::Deref;
use std::path::Path;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::StoreError;
pub use code::Code;

/// Whose move it is, and with which exit code a command ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum FaultKind {
    /// Exit code 1: what was given cannot be so, or is not allowed yet.
    User,
    /// Exit code 2: used wrongly, or a home that this version cannot work with.
    Usage,
    /// Exit code 2: the machine is in the way.
    Environment,
    /// Exit code 2: another process has the home.
    Busy,
    /// Exit code 3: a fault of the program.
    Internal,
}

impl FaultKind {
    /// The exit code of a command that ends so.
    pub fn exit_code(self) -> u8 {
        match self {
            Self::User => 1,
            Self::Usage | Self::Environment | Self::Busy => 2,
            Self::Internal => 3,
        }
    }
}

/// What could not be done, as data. Travels over the local socket too.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(transparent)]
pub struct Fault {
    // Boxed, so that what can fail stays small where it does not.
    parts: Box<FaultParts>,
}

/// What a fault is made of.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct FaultParts {
    /// Whose move it is.
    pub kind: FaultKind,
    /// Which fault; stable.
    pub code: Code,
    /// What it is about, by the names that its words use.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub params: BTreeMap<Code, String>,
    /// The part of the command that is at fault, where it is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub field: Option<String>,
    /// The file that it is about, where several were given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub file: Option<String>,
    /// The system's own words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
    /// Names like the one that was given.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub near: Vec<String>,
    /// What to do beside what the code says, by the names of hints; their words may use the parameters.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub hints: Vec<Code>,
    /// What it asks, where it is a question.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub asks: Option<Asks>,
    /// What is wrong in a table, in its order; the parameter `more` counts what came after these.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub problems: Vec<Problem>,
}

/// One thing wrong in a table.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Problem {
    /// Line of the file, counted from 1, the header included.
    pub row: Option<u64>,
    /// Column by its name in the header.
    pub column: Option<String>,
    /// What is wrong there.
    pub fault: Fault,
}

impl Problem {
    /// A problem of the whole file.
    pub fn of_file(fault: Fault) -> Self {
        Self { row: None, column: None, fault }
    }

    /// A problem of one row.
    pub fn of_row(row: u64, fault: Fault) -> Self {
        Self { row: Some(row), ..Self::of_file(fault) }
    }

    /// A problem of one cell.
    pub fn of_cell(row: u64, column: &str, fault: Fault) -> Self {
        Self { column: Some(column.to_owned()), ..Self::of_row(row, fault) }
    }

    /// A problem of one column.
    pub fn of_column(column: &str, fault: Fault) -> Self {
        Self { column: Some(column.to_owned()), ..Self::of_file(fault) }
    }
}

/// What a fault asks, so that an answer can take it away.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
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

impl Fault {
    fn new(kind: FaultKind, code: impl Into<Code>) -> Self {
        let parts = FaultParts {
            kind,
            code: code.into(),
            params: BTreeMap::new(),
            field: None,
            file: None,
            why: None,
            near: Vec::new(),
            hints: Vec::new(),
            asks: None,
            problems: Vec::new(),
        };
        Self { parts: Box::new(parts) }
    }

    /// Something that happens in ordinary use.
    pub fn user(code: impl Into<Code>) -> Self {
        Self::new(FaultKind::User, code)
    }

    /// Wrong use, or a home that this version cannot work with.
    pub fn usage(code: impl Into<Code>) -> Self {
        Self::new(FaultKind::Usage, code)
    }

    /// The machine is in the way.
    pub fn environment(code: impl Into<Code>) -> Self {
        Self::new(FaultKind::Environment, code)
    }

    /// Another process has the home.
    pub fn busy(code: impl Into<Code>) -> Self {
        Self::new(FaultKind::Busy, code)
    }

    /// A fault of the program, found again in its log by `reference`.
    pub fn internal(reference: impl Display) -> Self {
        Self::new(FaultKind::Internal, "internal").with("reference", reference)
    }

    /// A file operation that the system refused; `what` is a verb.
    pub fn file(what: &'static str, path: &Path, why: io::Error) -> Self {
        StoreError::Io { what, path: path.into(), source: why }.into()
    }

    /// The same with a parameter.
    #[must_use]
    pub fn with(mut self, name: impl Into<Code>, value: impl Display) -> Self {
        self.parts.params.insert(name.into(), value.to_string());
        self
    }

    /// The same with the system's own words.
    #[must_use]
    pub fn because(mut self, why: impl Display) -> Self {
        self.parts.why = Some(why.to_string());
        self
    }

    /// The same, said to be of this file.
    #[must_use]
    pub fn of_file(mut self, path: &Path) -> Self {
        self.parts.file = Some(path.display().to_string());
        self
    }

    /// The same, said to be of this part of the command.
    #[must_use]
    pub fn in_field(mut self, field: impl Into<String>) -> Self {
        self.parts.field = Some(field.into());
        self
    }

    /// The same with names like the one that was given; they take the place of what the code says to do otherwise.
    #[must_use]
    pub fn near(mut self, names: &[String]) -> Self {
        self.parts.near = names.to_vec();
        self
    }

    /// Adds what to do now, by the name of a hint.
    #[must_use]
    pub fn hint_named(mut self, code: impl Into<Code>) -> Self {
        self.parts.hints.push(code.into());
        self
    }

    /// The same with what is wrong in the table that it is about.
    #[must_use]
    pub fn of_table(mut self, problems: Vec<Problem>) -> Self {
        self.parts.problems = problems;
        self
    }

    /// The same with a parameter that is more than a name or a number, as JSON.
    #[must_use]
    pub fn with_data(self, name: impl Into<Code>, value: &impl Serialize) -> Self {
        let data = serde_json::to_string(value).expect("plain data");
        self.with(name, data)
    }

    /// Makes a question of it.
    #[must_use]
    pub fn asks(mut self, asks: Asks) -> Self {
        self.parts.asks = Some(asks);
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

    /// Whether another process has the home, so that trying again may help.
    pub fn is_busy(&self) -> bool {
        self.kind == FaultKind::Busy
    }

    /// The exit code of a command that ends so.
    pub fn exit_code(&self) -> u8 {
        self.kind.exit_code()
    }
}

impl Deref for Fault {
    type Target = FaultParts;

    fn deref(&self) -> &FaultParts {
        &self.parts
    }
}

/// The code and its parameters, for logs and tests; never for a grower.
impl Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.code)?;
        self.params.iter().try_for_each(|(name, value)| write!(f, " {name}={value:?}"))?;
        self.why.iter().try_for_each(|why| write!(f, ": {why}"))
    }
}

impl std::error::Error for Fault {}

impl From<StoreError> for Fault {
    fn from(error: StoreError) -> Self {
        let (full, read_only) = (error.is_disk_full(), error.is_read_only());
        let StoreError::Io { what, path, source } = error else { return of_the_store(&error) };
        let hint = if full {
            "disk-full"
        } else if read_only {
            "folder-read-only"
        } else {
            match source.kind() {
                io::ErrorKind::NotFound => "look-at-spelling-of-path",
                io::ErrorKind::IsADirectory => "is-a-folder",
                io::ErrorKind::NotADirectory | io::ErrorKind::AlreadyExists => "file-where-folder-needed",
                _ => "look-at-path",
            }
        };
        Self::environment("file-refused")
            .with("what", what)
            .with("path", path.display())
            .because(source)
            .hint_named(hint)
    }
}

fn of_the_store(error: &StoreError) -> Fault {
    match error {
        StoreError::NewerFormat { path, found, known } => Fault::usage("journal-newer")
            .with("path", path.display())
            .with("found", found)
            .with("known", known),
        StoreError::OtherHome { path } => Fault::usage("journal-of-other-home").with("path", path.display()),
        StoreError::Poisoned => Fault::usage("journal-poisoned"),
        StoreError::Index { why } => Fault::usage("index-failed").because(why),
        StoreError::Io { source, .. } => Fault::usage("index-failed").because(source),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    #[should_panic(expected = "is no code")]
    fn no_fault_is_made_of_a_sentence() {
        let sentence = "the table is wrong";
        let _ = Fault::user(sentence);
    }

    #[test]
    fn a_fault_comes_back_as_it_was_sent() {
        let problem = Problem::of_cell(3, "rooted", Fault::user("table-count-negative").with("cell", "-3"));
        let fault = Fault::user("evidence-table-refused")
            .with("file", "a.csv")
            .hint_named("look-for-a-comma")
            .near(&["rooted".to_owned()])
            .of_table(vec![problem]);
        let sent = serde_json::to_string(&fault).expect("plain data");
        assert_eq!(serde_json::from_str::<Fault>(&sent).expect("a fault"), fault);
        assert!(sent.contains("\"code\":\"evidence-table-refused\""), "{sent}");
    }
}
