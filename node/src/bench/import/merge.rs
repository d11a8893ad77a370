//! Puts rows of a table together with the trial that is there already.

use super::row::{ArmRow, check_counts, check_order};
use super::{Change, Planned};
use crate::bench::{Arm, Counts, EnteredFor, Stage, Trial};
use crate::table::{Problem, Problems};

/// The most arms that a record can carry.
const MOST_ARMS: usize = 24;

/// The trial as it would stand after reading `rows`.
pub(super) fn merge(
    code: &str,
    rows: &[ArmRow],
    existing: Option<&Trial>,
    new_series: &mut impl FnMut() -> String,
    problems: &mut Problems,
) -> Option<Planned> {
    let first = rows.first()?;
    if rows.len() > MOST_ARMS {
        let why = format!("trial \"{code}\" has {} arms; a record carries {MOST_ARMS}", rows.len());
        problems.add(Problem::of_row(first.line, why).hinted("split it into trials with codes of their own"));
        return None;
    }
    let Some(before) = existing else {
        let arms = rows.iter().zip(1..).map(|(row, number)| new_arm(row, number)).collect();
        let mut trial = empty(code, first, new_series(), arms);
        update(&mut trial, rows);
        check_days(&trial, first.line, problems);
        return Some(Planned { trial, change: Change::New });
    };
    check_fixed(before, rows, problems);
    let mut trial = before.clone();
    update(&mut trial, rows);
    check_days(&trial, first.line, problems);
    check_merged(before, &trial, rows, problems);
    let change = if trial == *before { Change::Same } else { Change::Updated };
    Some(Planned { trial, change })
}

fn check_days(trial: &Trial, line: u64, problems: &mut Problems) {
    check_order(line, Stage::ALL.map(|stage| trial.date(stage)), problems);
}

/// Counts that are right by themselves may still contradict those that were known before.
fn check_merged(before: &Trial, after: &Trial, rows: &[ArmRow], problems: &mut Problems) {
    for row in rows {
        let arm_of = |trial: &'_ Trial| trial.arms.iter().find(|arm| arm.label == row.label).cloned();
        let (Some(old), Some(new)) = (arm_of(before), arm_of(after)) else { continue };
        for stage in Stage::ALL {
            let (Some(known), Some(counts)) = (old.counts(stage), new.counts(stage)) else { continue };
            if known != counts {
                check_counts(row.line, stage, u32::from(new.started), cells(counts), problems);
            }
        }
    }
}

fn cells(counts: &Counts) -> [Option<u32>; 8] {
    let Counts {
        alive,
        callused,
        rooted,
        established,
        finished,
        dead,
        lost,
        left_as_finished,
        ever_rooted: _,
    } = *counts;
    [alive, callused, rooted, established, finished, dead, lost, left_as_finished]
        .map(|count| count.map(u32::from))
}

fn empty(code: &str, first: &ArmRow, series: String, arms: Vec<Arm>) -> Trial {
    Trial { series, arms, ..Trial::empty(code, &first.species, first.started_on) }
}

fn new_arm(row: &ArmRow, number: u8) -> Arm {
    Arm {
        number,
        label: row.label.clone(),
        started: row.started,
        facets: row.facets.clone(),
        lift: None,
        spring: None,
        last: None,
        ..Arm::default()
    }
}

/// What an existing trial fixes: arms, pieces put in, species and starting day.
fn check_fixed(before: &Trial, rows: &[ArmRow], problems: &mut Problems) {
    for row in rows {
        let Some(arm) = before.arms.iter().find(|arm| arm.label == row.label) else {
            let why = format!("trial \"{}\" has no arm \"{}\"", before.code, row.label);
            problems.add(
                Problem::of_cell(row.line, "arm", why)
                    .hinted("fresh pieces are a new trial with a code of its own"),
            );
            continue;
        };
        let fixed = [
            ("started", arm.started != row.started, format!("was {}", arm.started)),
            ("species", before.species != row.species, format!("was {}", before.species)),
            ("started_on", before.started_on != row.started_on, format!("was {}", before.started_on)),
        ];
        for (column, _, was) in fixed.iter().filter(|(_, differs, _)| *differs) {
            let why = format!("{was} when trial \"{}\" was entered, and is fixed from then on", before.code);
            problems.add(Problem::of_cell(row.line, column, why).hinted(
                "put the earlier value back, as pieces that died or were lost have columns of their own; a slip is mended \
                 with: propagule trial correct",
            ));
        }
    }
}

fn update(trial: &mut Trial, rows: &[ArmRow]) {
    for row in rows {
        for (stage, (day, counts)) in Stage::ALL.into_iter().zip(row.stages) {
            let date = trial.date_mut(stage);
            *date = day.or(*date);
            let Some(arm) = trial.arms.iter_mut().find(|arm| arm.label == row.label) else { continue };
            let known = arm.counts_mut(stage);
            *known = counts.map(|counts| over(known.unwrap_or_default(), counts)).or(*known);
        }
        if let Some(arm) = trial.arms.iter_mut().find(|arm| arm.label == row.label) {
            arm.facets.extend(row.facets.clone());
            arm.spot = row.spot.clone().or(arm.spot.take());
        }
        trial.place = row.place.clone().or(trial.place.take());
        if let (Some(name), None) = (&row.grower, &trial.entered_for) {
            trial.entered_for = Some(EnteredFor { name: name.clone(), mark: String::new() });
        }
        trial.stock_plants = row.stock_plants.or(trial.stock_plants);
        trial.is_randomised = row.is_randomised.unwrap_or(trial.is_randomised);
        trial.is_blocked = row.is_blocked.unwrap_or(trial.is_blocked);
        trial.is_scored_blind = row.is_scored_blind.unwrap_or(trial.is_scored_blind);
    }
    trial.note = notes(rows).or(trial.note.take());
}

/// Notes of all rows, each once, so that none is lost.
fn notes(rows: &[ArmRow]) -> Option<String> {
    let mut notes: Vec<&str> = Vec::new();
    for note in rows.iter().filter_map(|row| row.note.as_deref()) {
        if !notes.contains(&note) {
            notes.push(note);
        }
    }
    (!notes.is_empty()).then(|| notes.join("\n"))
}

/// The new counts where there are any, else the known ones.
fn over(known: Counts, new: Counts) -> Counts {
    Counts {
        alive: new.alive.or(known.alive),
        callused: new.callused.or(known.callused),
        rooted: new.rooted.or(known.rooted),
        established: new.established.or(known.established),
        finished: new.finished.or(known.finished),
        dead: new.dead.or(known.dead),
        lost: new.lost.or(known.lost),
        left_as_finished: new.left_as_finished.or(known.left_as_finished),
        ever_rooted: new.ever_rooted.or(known.ever_rooted),
    }
}
