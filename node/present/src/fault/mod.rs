//! The words of faults: one line a code, with what to do then.
//!
//! A template names parameters in braces. `{name:paste}` quotes one for a shell; `{name|piece|pieces}` is a count with the
//! noun that it takes; `{kind:lead}` is a word of the trial's kind. Braces that are meant are doubled.

mod app;
mod arms;
mod bench;
mod command_line;
mod counting;
mod dates;
mod demo;
mod files;
mod home;
mod import;
mod network;
mod page;
mod slots;
mod table;
mod template;
#[cfg(test)]
mod tests;

use std::collections::BTreeMap;
use std::fmt::Write;

use propagule_files::fault::{Code, Fault, FaultKind, FaultParts, Problem};
use schemars::JsonSchema;
use serde::Serialize;

/// The words of a code.
#[derive(Clone, Copy, Debug)]
pub struct FaultWords {
    /// The code.
    pub code: &'static str,
    /// What is wrong.
    pub what: &'static str,
    /// What to do then, each on a line of its own.
    pub hints: &'static [&'static str],
    /// What to do where no name is like the one that was given.
    pub otherwise: Option<&'static str>,
}

const fn words(code: &'static str, what: &'static str, hints: &'static [&'static str]) -> FaultWords {
    FaultWords { code, what, hints, otherwise: None }
}

impl FaultWords {
    const fn otherwise(self, hint: &'static str) -> Self {
        Self { otherwise: Some(hint), ..self }
    }
}

/// All codes with their words, by where they come from.
pub fn catalogue() -> impl Iterator<Item = &'static FaultWords> {
    [
        files::WORDS,
        table::WORDS,
        import::WORDS,
        home::WORDS,
        arms::WORDS,
        bench::WORDS,
        counting::WORDS,
        app::WORDS,
        network::WORDS,
        page::WORDS,
        command_line::WORDS,
        demo::WORDS,
    ]
    .into_iter()
    .flatten()
}

pub(crate) fn of(code: &str) -> Option<&'static FaultWords> {
    catalogue().find(|words| words.code == code)
}

/// What is wrong, without the system's words and without hints.
pub fn what(fault: &Fault) -> String {
    // A program of another version has codes of its own.
    let said =
        of(&fault.code).map_or_else(|| fault.to_string(), |words| template::fill(words.what, &fault.params));
    match &fault.file {
        Some(file) => format!("{file}: {said}"),
        None if fault.problems.is_empty() => said,
        None => of_table(&said, fault),
    }
}

/// All that is wrong with a table, a line each: `what failed, row 3, column "rooted": why`.
fn of_table(said: &str, fault: &Fault) -> String {
    let mut lines: Vec<String> =
        fault.problems.iter().map(|problem| format!("{said}{}", problem_at(problem))).collect();
    lines.extend(fault.params.get("more").map(|more| format!("and {more} more")));
    lines.join("\n")
}

fn problem_at(Problem { row, column, fault }: &Problem) -> String {
    let row = row.map(|row| format!(", row {row}")).unwrap_or_default();
    let column = column.as_ref().map(|column| format!(", column \"{column}\"")).unwrap_or_default();
    format!("{row}{column}: {}", sentence(fault))
}

/// What is wrong, with the system's words behind it.
pub fn sentence(fault: &Fault) -> String {
    let why = fault.why.as_ref().map(|why| format!(": {why}")).unwrap_or_default();
    format!("{}{why}", what(fault))
}

/// What to do now.
pub fn hints(fault: &Fault) -> Vec<String> {
    let words = of(&fault.code);
    let filled = |text: &str| template::fill(text, &fault.params);
    let mut hints: Vec<String> =
        words.iter().flat_map(|words| words.hints).map(|hint| filled(hint)).collect();
    match words.and_then(|words| words.otherwise) {
        Some(otherwise) if fault.near.is_empty() => hints.push(filled(otherwise)),
        _ if !fault.near.is_empty() => hints.push(format!("did you mean {}?", fault.near.join(", "))),
        _ => {}
    }
    hints.extend(fault.hints.iter().map(|code| named_hint(code).map_or_else(|| code.to_string(), filled)));
    for hint in fault.problems.iter().flat_map(|problem| self::hints(&problem.fault)) {
        if !hints.contains(&hint) {
            hints.push(hint);
        }
    }
    hints
}

/// The words of a hint that has a name.
pub(crate) fn named_hint(code: &str) -> Option<&'static str> {
    let all =
        [HINTS, counting::HINTS, table::HINTS, import::HINTS, arms::HINTS, page::HINTS, command_line::HINTS];
    all.into_iter().flatten().find(|(known, _)| *known == code).map(|(_, words)| *words)
}

/// A fault as the terminal shows it.
pub fn text(fault: &Fault) -> String {
    let mut out = format!("error: {}", sentence(fault));
    for hint in hints(fault) {
        let _ = write!(out, "\nhint: {hint}");
    }
    out
}

/// A fault as `--json` shows it, `propagule.fault/1`.
pub fn json(fault: &Fault) -> serde_json::Value {
    let FaultParts { kind, code, params, field, file, why, problems, .. } = &**fault;
    let shown = FaultShown {
        kind: *kind,
        code,
        params,
        field: field.as_deref(),
        file: file.as_deref(),
        why: why.as_deref(),
        sentence: sentence(fault),
        hints: hints(fault),
        problems: problems.iter().map(ProblemShown::of).collect(),
    };
    serde_json::to_value(shown).expect("plain data")
}

/// A fault in JSON.
#[derive(Serialize, JsonSchema)]
#[serde(tag = "format", rename = "propagule.fault/1")]
pub struct FaultShown<'a> {
    /// Whose move it is.
    kind: FaultKind,
    /// Which fault; stable.
    code: &'a str,
    /// What it is about, by the names that its words use.
    params: &'a BTreeMap<Code, String>,
    /// The part of the command that is at fault, where it is one.
    field: Option<&'a str>,
    /// The file that it is about, where several were given.
    file: Option<&'a str>,
    /// The system's own words.
    why: Option<&'a str>,
    /// What failed and why, in one sentence.
    sentence: String,
    /// What to do now.
    hints: Vec<String>,
    /// What is wrong in a table, each by itself.
    problems: Vec<ProblemShown<'a>>,
}

/// One thing wrong in a table, in JSON.
#[derive(Serialize, JsonSchema)]
pub struct ProblemShown<'a> {
    /// Line of the file, from 1, the header included.
    row: Option<u64>,
    /// Column by its name in the header.
    column: Option<&'a str>,
    /// What is wrong there; stable.
    code: &'a str,
    /// What it is about, by the names that its words use.
    params: &'a BTreeMap<Code, String>,
    /// The same in one sentence.
    sentence: String,
    /// What to do now.
    hints: Vec<String>,
}

impl<'a> ProblemShown<'a> {
    fn of(problem: &'a Problem) -> Self {
        let Problem { row, column, fault } = problem;
        Self {
            row: *row,
            column: column.as_deref(),
            code: &fault.code,
            params: &fault.params,
            sentence: sentence(fault),
            hints: hints(fault),
        }
    }
}

/// Hints that several faults share, or that a fault has only sometimes.
const HINTS: &[(&str, &str)] = &[
    ("nothing-was-saved", "nothing of this was saved; what was saved before is safe"),
    ("look-what-was-saved", "look what of this was saved before you do it again; what was saved is safe"),
    ("demo-again", "play it again, with the data folders kept to look at: propagule demo --keep"),
    ("disk-full", "the disk is full: free some space and try again; nothing acknowledged was lost"),
    (
        "folder-read-only",
        "this folder cannot be written: check its owner and mode, or choose another with --home",
    ),
    ("look-at-spelling-of-path", "look at the spelling of the path, or go to the folder that holds the file"),
    ("is-a-folder", "that is a folder: name a file"),
    (
        "file-where-folder-needed",
        "a file stands where a folder is needed: move it away, or choose another path",
    ),
    ("look-what-is-there", "look what is there: ls -la {path:paste}"),
    (
        "shorten-socket-path",
        "the path may be too long for a socket (about 100 bytes): set XDG_RUNTIME_DIR, or use a shorter --home",
    ),
    ("choose-writable-folder", "choose a folder that you may write to: propagule --home FOLDER init"),
    (
        "do-not-look-nearby",
        "without looking for computers nearby it may: set find_nearby = false in config.toml",
    ),
    (
        "use-home-of-that-network",
        "use the data folder that belongs to that network: propagule --home FOLDER bundle import FILE",
    ),
    ("how-a-bundle-is-made", "a bundle is made by: propagule bundle export FILE"),
    ("how-a-request-is-made", "a request file is made on the other computer: propagule bundle request FILE"),
    ("take-it-in-parts", "take it in parts, newest first: propagule bundle export FILE --since 2026-09"),
    ("look-at-free-space", "look at the disk's free space and the file's mode"),
    ("ask-for-the-file-again", "ask for the file again; what was whole has been kept"),
    ("type-every-line", "type every numbered line, in order"),
    (
        "compare-that-line",
        "compare that line with the sheet; small slips are found by the four characters at its end",
    ),
    ("look-at-path", "look at that path: whether it is what it should be, its owner and its mode"),
    (
        "get-first-records",
        "this computer holds no results at all yet: connect to another grower's (propagule peers add \
             ADDRESS, then propagule serve), or read a bundle (propagule bundle import FILE)",
    ),
    (
        "get-more-records",
        "this computer holds {held|result|results} for other plants; publish your own trial, or exchange with \
             more growers",
    ),
    ("bring-trials-in-first", "bring your trials in first: propagule trial import FILE.csv"),
    ("see-all-trials", "see them all: propagule trial list"),
];
