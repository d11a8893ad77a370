//! Looking at everything that a home needs: each check is well, or says what is wrong and what mends it.
//!
//! [`at_rest`] looks at files and at the machine without opening the home; `inside` is asked of the open home, or of
//! the node that serves it.

mod archive;
mod files;
mod inside;
mod machine;
mod ports;

pub use files::at_rest;
pub(super) use inside::inside;

pub use super::outcome::doctor::{Check, CheckState, Finding};
use super::outcome::doctor::{Doctor, Fix, FixCommand, Found};
use crate::home::to_be_named;
use propagule_files::fault::Fault;

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
    findings.iter().all(|one| {
        one.state == CheckState::Ok || matches!(one.check, Check::Clock | Check::Socket | Check::Printed)
    })
}

/// All findings in their order, each check once.
pub fn sum_up(mut findings: Vec<Finding>) -> Doctor {
    // What the open home says of the clock knows more than what is said from outside.
    findings.reverse();
    findings.sort_by_key(|one| one.check);
    findings.dedup_by_key(|one| one.check);
    Doctor {
        version: env!("CARGO_PKG_VERSION").to_owned(),
        rust_version: env!("CARGO_PKG_RUST_VERSION").to_owned(),
        is_well: findings.iter().all(|one| one.state == CheckState::Ok),
        checks: findings,
    }
}

/// How a command ends when not all is well.
pub fn unwell(doctor: &Doctor) -> Option<Fault> {
    let problems = doctor.checks.iter().filter(|one| one.state == CheckState::Problem).count();
    let checks = doctor.checks.len();
    match problems {
        0 => None,
        1 => Some(Fault::user("doctor-found-problem").with("checks", checks)),
        _ => Some(Fault::user("doctor-found-problems").with("problems", problems).with("checks", checks)),
    }
}

/// Commands that mend something in one home.
#[derive(Clone, Debug)]
struct Fixes {
    named_home: Option<String>,
}

impl Fixes {
    /// For the home at a path.
    fn of(path: &std::path::Path) -> Self {
        Self { named_home: to_be_named(path) }
    }

    fn by(&self, command: FixCommand) -> Fix {
        Fix::Command { command, named_home: self.named_home.clone() }
    }
}
