//! Looking at everything that a home needs: each check is well, or says what is wrong and what mends it.
//!
//! [`at_rest`] looks at files and at the machine without opening the home; `inside` is asked of the open home, or of
//! the node that serves it.

mod archive;
mod files;
mod inside;
mod machine;
mod ports;
mod words;

use serde::{Deserialize, Serialize};
use serde_json::json;

pub use files::at_rest;
pub(super) use inside::inside;

use super::Report;
use propagule_files::fault::Fault;
use propagule_present::fault;

/// What is looked at, in the order in which it is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Check {
    /// Version, and what it can read.
    Program,
    /// The clock of the machine.
    Clock,
    /// The home folder and its name.
    Home,
    /// `config.toml`.
    Settings,
    /// Key files.
    Keys,
    /// The socket by which commands reach the running node.
    Socket,
    /// Whether the node runs, and what waits for it.
    Node,
    /// Signed records and their index.
    Store,
    /// The private bench record.
    Bench,
    /// When the last archive was made.
    Archive,
    /// Quota and free space.
    Disk,
    /// The addresses that the node listens on.
    Listen,
    /// The port of the page.
    Page,
    /// Whom the node knows and reaches.
    Peers,
}

/// How a check ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum State {
    /// Nothing to do.
    Ok,
    /// Something is wrong.
    Problem,
    /// Could not be looked at because of a problem above.
    NotChecked,
}

/// One check and how it ended.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Finding {
    /// What was looked at.
    pub check: Check,
    /// How it ended.
    pub state: State,
    /// What was found.
    pub says: String,
    /// What mends it; empty when nothing is wrong.
    pub fix: Vec<String>,
}

impl Finding {
    fn ok(check: Check, says: impl Into<String>) -> Self {
        Self { check, state: State::Ok, says: says.into(), fix: Vec::new() }
    }

    fn problem(check: Check, says: impl Into<String>, fix: impl Into<String>) -> Self {
        Self { check, state: State::Problem, says: says.into(), fix: vec![fix.into()] }
    }

    /// A failure that stood in the way of the check is its problem.
    pub fn failed(check: Check, failure: &Fault) -> Self {
        Self { check, state: State::Problem, says: fault::sentence(failure), fix: fault::hints(failure) }
    }

    /// Nobody could look.
    pub fn not_checked(check: Check) -> Self {
        Self { check, state: State::NotChecked, says: words::NOT_CHECKED.to_owned(), fix: Vec::new() }
    }
}

/// Checks that only an open home can make.
const OF_AN_OPEN_HOME: [Check; 7] =
    [Check::Store, Check::Bench, Check::Archive, Check::Disk, Check::Listen, Check::Page, Check::Peers];

/// The checks that were not made because of what was found at rest.
pub fn shut() -> Vec<Finding> {
    OF_AN_OPEN_HOME.map(Finding::not_checked).into()
}

/// The checks of a home that could not be opened, with the reason in the place of the first.
pub fn kept_shut(problem: &Fault) -> Vec<Finding> {
    let others = OF_AN_OPEN_HOME[1..].iter().copied().map(Finding::not_checked);
    std::iter::once(Finding::failed(OF_AN_OPEN_HOME[0], problem)).chain(others).collect()
}

/// Whether opening the home can be tried: nothing that opening needs is wrong.
pub fn may_be_opened(findings: &[Finding]) -> bool {
    findings.iter().all(|one| one.state == State::Ok || matches!(one.check, Check::Clock | Check::Socket))
}

/// All findings in words and as data.
pub fn report(mut findings: Vec<Finding>) -> Report {
    // What the open home says of the clock knows more than what is said from outside.
    findings.reverse();
    findings.sort_by_key(|one| one.check);
    findings.dedup_by_key(|one| one.check);
    let json = json!({
        "format": "propagule.doctor/1",
        "version": env!("CARGO_PKG_VERSION"),
        "rust_version": env!("CARGO_PKG_RUST_VERSION"),
        "is_well": findings.iter().all(|one| one.state == State::Ok),
        "checks": findings,
    });
    Report { text: findings.iter().map(words::line).collect(), json }
}

/// What a command says when not all is well.
pub fn unwell(report: &Report) -> Option<Fault> {
    let checks = report.json["checks"].as_array().expect("the report lists its checks");
    let problems = checks.iter().filter(|one| one["state"] == "problem").count();
    (problems > 0).then(|| words::unwell(problems, checks.len()))
}
