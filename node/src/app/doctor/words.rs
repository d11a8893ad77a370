//! What the doctor says.

use std::fmt::Write;

use super::{Check, Finding, State};
use propagule_files::fault::Fault;

pub(super) const NOT_CHECKED: &str = "not looked at: mend what stands above first";

/// One check as a line, and below it what mends it.
pub(super) fn line(finding: &Finding) -> String {
    let state = match finding.state {
        State::Ok => "ok",
        State::Problem => "problem",
        State::NotChecked => "-",
    };
    let mut text = format!("{state:<8} {:<9} {}\n", name(finding.check), finding.says);
    for fix in &finding.fix {
        let _ = writeln!(text, "  hint: {fix}");
    }
    text
}

fn name(check: Check) -> &'static str {
    match check {
        Check::Program => "program",
        Check::Clock => "clock",
        Check::Home => "home",
        Check::Settings => "settings",
        Check::Keys => "keys",
        Check::Socket => "socket",
        Check::Node => "node",
        Check::Store => "store",
        Check::Bench => "bench",
        Check::Archive => "archive",
        Check::Disk => "disk",
        Check::Listen => "listen",
        Check::Page => "page",
        Check::Peers => "peers",
    }
}

pub(super) fn unwell(problems: usize, checks: usize) -> Fault {
    let found = if problems == 1 { "finds" } else { "find" };
    Fault::user("doctor-found-problems")
        .with("problems", problems)
        .with("checks", checks)
        .with("found", found)
}
