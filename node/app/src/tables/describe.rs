//! A trial as its rows describe it: a new one, or one that is there already with what is new.

use super::arms::{ArmRows, TrialRows};
use super::row::Row;
use propagule_bench::{Arm, EnteredFor, Replicate, Stage, Trial};
use propagule_files::fault::{Fault, Problem};

/// A trial that is not there yet.
pub(super) fn fresh(rows: &TrialRows<'_>, series: String, one_piece: bool) -> Trial {
    let first = rows.rows[0];
    let mut trial = Trial::empty(&rows.code, &first.species, first.started_on);
    trial.series = series;
    trial.unit_is_piece = one_piece;
    trial.arms = rows.arms.iter().zip(1..).map(|(arm, number)| new_arm(arm, number)).collect();
    describe(&mut trial, rows);
    trial
}

fn new_arm(rows: &ArmRows<'_>, number: u8) -> Arm {
    let first = rows.units[0].row;
    let has_pots = rows.units.iter().any(|unit| unit.code.is_some());
    let replicate = |unit: &super::arms::UnitRow<'_>| {
        Some(Replicate {
            code: unit.code.clone()?,
            started: unit.row.started,
            pot: None,
            stock_plant: unit.row.stock_plant.clone(),
            operator: unit.row.operator.clone(),
        })
    };
    Arm {
        number,
        label: rows.label.clone(),
        started: rows.units.iter().map(|unit| unit.row.started).sum(),
        replicates: rows.units.iter().filter_map(replicate).collect(),
        stock_plant: first.stock_plant.clone().filter(|_| !has_pots),
        operator: first.operator.clone().filter(|_| !has_pots),
        ..Arm::default()
    }
}

/// Adds what the rows say of the trial; returns what they say otherwise than before: the column, before, now.
pub(super) fn describe(trial: &mut Trial, rows: &TrialRows<'_>) -> Vec<Changed> {
    let mut changed = Vec::new();
    for arm_rows in &rows.arms {
        for unit in &arm_rows.units {
            let row = unit.row;
            let mut note = |column: &str, was: String, now: String| {
                changed.push(Changed { line: row.line, column: column.to_owned(), was, now });
            };
            if let Some(arm) = trial.arms.iter_mut().find(|arm| arm.label == arm_rows.label) {
                for (name, words) in &row.facets {
                    if let Some(before) = arm.facets.insert(name.clone(), words.clone())
                        && before != *words
                    {
                        note(name, before, words.clone());
                    }
                }
                arm.at_home.extend(row.at_home.clone());
                put(&mut arm.spot, row.spot.as_ref(), "spot", &mut note);
            }
            put(&mut trial.place, row.place.as_ref(), "place", &mut note);
            if let (Some(name), None) = (&row.grower, &trial.entered_for) {
                trial.entered_for = Some(EnteredFor { name: name.clone(), mark: String::new() });
            }
            put(&mut trial.stock_plants, row.stock_plants.as_ref(), "stock_plants", &mut note);
            trial.is_randomised = row.is_randomised.unwrap_or(trial.is_randomised);
            trial.is_blocked = row.is_blocked.unwrap_or(trial.is_blocked);
            trial.is_scored_blind = row.is_scored_blind.unwrap_or(trial.is_scored_blind);
        }
    }
    days(trial, &rows.rows);
    let notes = notes(&rows.rows);
    trial.note = notes.or(trial.note.take());
    changed
}

/// A cell that says something else than is known.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Changed {
    pub(super) line: u64,
    pub(super) column: String,
    pub(super) was: String,
    pub(super) now: String,
}

fn put<T: Clone + PartialEq + ToString>(
    known: &mut Option<T>,
    said: Option<&T>,
    column: &str,
    note: &mut impl FnMut(&str, String, String),
) {
    let Some(said) = said else { return };
    if let Some(before) = known.replace(said.clone())
        && before != *said
    {
        note(column, before.to_string(), said.to_string());
    }
}

/// Days that were set in advance; where something was counted, the count has its own.
fn days(trial: &mut Trial, rows: &[&Row]) {
    for stage in Stage::ALL {
        let said = rows.iter().find_map(|row| row.days[stage as usize]);
        let date = trial.date_mut(stage);
        *date = said.or(*date);
    }
}

/// Notes of all rows, each once, so that none is lost.
fn notes(rows: &[&Row]) -> Option<String> {
    let mut notes: Vec<&str> = Vec::new();
    for note in rows.iter().filter_map(|row| row.note.as_deref()) {
        if !notes.contains(&note) {
            notes.push(note);
        }
    }
    (!notes.is_empty()).then(|| notes.join("\n"))
}

/// What an existing trial fixes: arms, pots, pieces put in, species and starting day.
pub(super) fn check_fixed(before: &Trial, rows: &TrialRows<'_>, problems: &mut Vec<Problem>) {
    for arm_rows in &rows.arms {
        let line = arm_rows.units[0].row.line;
        let Some(arm) = before.arms.iter().find(|arm| arm.label == arm_rows.label) else {
            let fault = Fault::user("table-arm-not-of-trial")
                .with("trial", &before.code)
                .with("arm", &arm_rows.label);
            problems.push(Problem::of_cell(line, "arm", fault));
            continue;
        };
        for unit in &arm_rows.units {
            let started = match &unit.code {
                None => Some(arm.started),
                Some(code) => arm.replicates.iter().find(|pot| pot.code == *code).map(|pot| pot.started),
            };
            let has_pots_otherwise = unit.code.is_none() && !arm.replicates.is_empty();
            let Some(started) = started.filter(|_| !has_pots_otherwise) else {
                let fault = match &unit.code {
                    Some(pot) => Fault::user("table-pot-not-of-arm")
                        .with("arm", &arm.label)
                        .with("trial", &before.code)
                        .with("pot", pot),
                    None => Fault::user("table-row-without-pot")
                        .with("arm", &arm.label)
                        .with("trial", &before.code),
                };
                problems.push(Problem::of_cell(unit.row.line, "pot", fault));
                continue;
            };
            check_row(before, started, unit.row, problems);
        }
    }
}

fn check_row(before: &Trial, started: u16, row: &Row, problems: &mut Vec<Problem>) {
    let fixed = [
        ("started", started != row.started, started.to_string()),
        ("species", before.species != row.species, before.species.clone()),
        ("started_on", before.started_on != row.started_on, before.started_on.to_string()),
    ];
    for (column, _, was) in fixed.iter().filter(|(_, differs, _)| *differs) {
        let fault = Fault::user("table-changes-what-is-fixed").with("was", was).with("trial", &before.code);
        problems.push(Problem::of_cell(row.line, column, fault));
    }
}

/// Lift comes before season end, that before spring, spring before the final count.
pub(super) fn check_order(trial: &Trial, line: u64, problems: &mut Vec<Problem>) {
    let mut last: Option<Stage> = None;
    for stage in Stage::ALL {
        let Some(day) = trial.date(stage) else { continue };
        if let Some((earlier, before)) = last.and_then(|earlier| Some((earlier, trial.date(earlier)?)))
            && day.last < before.first
        {
            let column = super::columns::of_stage(stage, "on");
            let fault = Fault::user("table-day-before-earlier-stage")
                .with("day", day)
                .with("stage", earlier.word())
                .with("before", before);
            problems.push(Problem::of_cell(line, &column, fault));
        }
        last = Some(stage);
    }
}
