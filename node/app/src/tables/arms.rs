//! Rows of one trial, grouped by arm and pot.

use std::collections::BTreeMap;

use super::ask::{Asked, Stated};
use super::cell::fold;
use super::columns::of_stage;
use super::row::Row;
use propagule_bench::{Stage, Trial};
use propagule_files::fault::{Fault, Problem};

/// The most arms that a record can carry.
const MOST_ARMS: usize = 24;
/// The most pots of an arm, and the most pieces.
const MOST_POTS: usize = 50;
const MOST_PIECES: u32 = 10_000;

/// The rows of a trial.
#[derive(Debug)]
pub(super) struct TrialRows<'a> {
    pub(super) code: String,
    pub(super) rows: Vec<&'a Row>,
    pub(super) arms: Vec<ArmRows<'a>>,
}

/// The rows of an arm.
#[derive(Debug)]
pub(super) struct ArmRows<'a> {
    pub(super) label: String,
    pub(super) units: Vec<UnitRow<'a>>,
}

/// One row, with the code of its pot.
#[derive(Debug)]
pub(super) struct UnitRow<'a> {
    pub(super) code: Option<String>,
    pub(super) row: &'a Row,
}

/// Groups the rows of a trial; what contradicts goes to `problems`.
pub(super) fn group<'a>(
    code: &str,
    rows: Vec<&'a Row>,
    existing: Option<&Trial>,
    asked: &mut Asked,
    problems: &mut Vec<Problem>,
) -> TrialRows<'a> {
    check_agree(code, &rows, problems);
    let labels = labels(&rows, existing, asked);
    let mut arms: Vec<ArmRows<'a>> = Vec::new();
    for (row, label) in rows.iter().zip(labels) {
        let unit = UnitRow { code: None, row };
        match arms.iter_mut().find(|arm| arm.label == label) {
            Some(arm) => arm.units.push(unit),
            None => arms.push(ArmRows { label, units: vec![unit] }),
        }
    }
    name_pots(&mut arms);
    check_units(code, &arms, problems);
    if arms.len() > MOST_ARMS {
        let fault = Fault::user("trial-of-too-many-arms")
            .with("trial", code)
            .with("arms", arms.len())
            .with("most", MOST_ARMS);
        problems.push(Problem::of_row(rows[0].line, fault));
    }
    TrialRows { code: code.to_owned(), rows, arms }
}

/// The label of each row: as it was spelt first, letter case, spaces and hyphens apart. Without a column for it, the
/// facets in which the rows differ tell the arms apart.
fn labels(rows: &[&Row], existing: Option<&Trial>, asked: &mut Asked) -> Vec<String> {
    let differing = differing_facets(rows);
    let mut first: BTreeMap<String, String> = BTreeMap::new();
    for arm in existing.into_iter().flat_map(|trial| &trial.arms) {
        first.entry(fold(&arm.label)).or_insert_with(|| arm.label.clone());
    }
    let mut found = Vec::new();
    for row in rows {
        let by_facets = || {
            let words = differing.iter().filter_map(|name| row.facets.get(*name).cloned());
            words.collect::<Vec<_>>().join(" + ")
        };
        let typed = row.label.clone().unwrap_or_else(by_facets);
        let typed = if typed.is_empty() { "A".to_owned() } else { typed };
        let label = first.entry(fold(&typed)).or_insert_with(|| typed.clone());
        if *label != typed {
            asked.state(Stated::ArmReadAs { typed, read_as: label.clone() }, "", &[]);
        }
        found.push(label.clone());
    }
    found
}

fn differing_facets<'a>(rows: &[&'a Row]) -> Vec<&'a str> {
    let names = rows.iter().flat_map(|row| row.facets.keys());
    let names: std::collections::BTreeSet<&String> = names.collect();
    let differs = |name: &&String| rows.iter().any(|row| row.facets.get(*name) != rows[0].facets.get(*name));
    names.into_iter().filter(differs).map(String::as_str).collect()
}

/// Codes of pots are unique within the trial: a number, or one that two arms have, gets the arm's label before it.
fn name_pots(arms: &mut [ArmRows<'_>]) {
    let mut seen: BTreeMap<String, usize> = BTreeMap::new();
    for arm in arms.iter() {
        let own: std::collections::BTreeSet<&String> =
            arm.units.iter().filter_map(|unit| unit.row.pot.as_ref()).collect();
        for code in own {
            *seen.entry(fold(code)).or_default() += 1;
        }
    }
    for arm in arms {
        for unit in &mut arm.units {
            let Some(pot) = &unit.row.pot else { continue };
            let is_shared = seen.get(&fold(pot)).is_some_and(|arms| *arms > 1);
            let is_own = !unit.row.is_rep && !is_shared;
            unit.code = Some(if is_own { pot.clone() } else { format!("{}-{pot}", arm.label) });
        }
    }
}

/// Each arm or pot has one row.
fn check_units(code: &str, arms: &[ArmRows<'_>], problems: &mut Vec<Problem>) {
    for arm in arms {
        let mut seen = std::collections::BTreeSet::new();
        for unit in &arm.units {
            if !seen.insert(unit.code.as_deref()) {
                let (column, fault) = match &unit.code {
                    Some(pot) => ("pot", Fault::user("table-pot-twice").with("pot", pot).with("trial", code)),
                    None => {
                        ("arm", Fault::user("table-arm-twice").with("arm", &arm.label).with("trial", code))
                    }
                };
                problems.push(Problem::of_cell(unit.row.line, column, fault));
            }
        }
        let line = arm.units[0].row.line;
        let has_both = seen.contains(&None) && seen.len() > 1;
        if has_both || seen.len() > MOST_POTS {
            let fault = if has_both {
                Fault::user("table-arm-with-and-without-pots").with("arm", &arm.label)
            } else {
                Fault::user("table-arm-of-too-many-pots")
                    .with("arm", &arm.label)
                    .with("pots", seen.len())
                    .with("most", MOST_POTS)
            };
            problems.push(Problem::of_cell(line, "pot", fault));
        }
        let pieces: u32 = arm.units.iter().map(|unit| u32::from(unit.row.started)).sum();
        if pieces > MOST_PIECES {
            let fault =
                Fault::user("table-arm-of-too-many-pieces").with("pieces", pieces).with("most", MOST_PIECES);
            problems.push(Problem::of_cell(line, "started", fault));
        }
    }
}

/// Rows of one trial must agree on what belongs to the whole trial.
fn check_agree(code: &str, rows: &[&Row], problems: &mut Vec<Problem>) {
    let first = rows[0];
    let place = rows.iter().find_map(|row| row.place.as_ref());
    let days = Stage::ALL.map(|stage| rows.iter().find_map(|row| row.days[stage as usize]));
    for row in rows {
        let mut differing = Vec::new();
        let fixed = [
            ("species", row.species != first.species),
            ("started_on", row.started_on != first.started_on),
            ("place", row.place.is_some() && row.place.as_ref() != place),
        ];
        differing
            .extend(fixed.iter().filter(|(_, differs)| *differs).map(|(column, _)| (*column).to_owned()));
        for stage in Stage::ALL {
            let own = row.days[stage as usize];
            if own.is_some() && own != days[stage as usize] {
                differing.push(of_stage(stage, "on"));
            }
        }
        for column in differing {
            let fault =
                Fault::user("table-rows-of-trial-differ").with("trial", code).with("first", first.line);
            problems.push(Problem::of_cell(row.line, &column, fault));
        }
    }
}
