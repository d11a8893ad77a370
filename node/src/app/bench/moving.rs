//! Pieces put elsewhere, and pieces that left.

use std::fmt::Write;

use serde_json::json;

use super::entering::check_later;
use super::{Common, Ready, entry, failure, ready};
use crate::app::{App, Reply, undo};
use crate::bench::typed::arm::{TypedArm, read_into};
use crate::bench::typed::tally;
use crate::bench::{Event, Trial, What};
use crate::error::Failure;

/// Later phases that a record can carry.
const MOST_PHASES: usize = 2;

/// Saves that the living pieces of some arms were put elsewhere.
pub(super) fn moved(
    app: &App,
    code: &str,
    labels: &[String],
    to: &str,
    with: Option<&str>,
    common: Common,
) -> Result<Reply, Failure> {
    let mut bench = app.bench();
    let trial = match ready(&bench, code, &common)? {
        Ready::For(trial) => trial,
        Ready::Saved(reply) => return Ok(reply),
    };
    let arms = arms(&trial, labels)?;
    let spot = super::spots::find(&bench, to)?.name.clone();
    let mut typed = TypedArm::default();
    read_into(&mut typed, with.unwrap_or_default()).map_err(|fault| failure("move", &fault))?;
    let on = common.on;
    let what = What::Moved {
        trial: trial.code.clone(),
        arms: arms.clone(),
        spot: Some(spot.clone()),
        facets: typed.facets,
    };
    let number = bench.record(Event::Entered { entry: entry(what, common) })?;
    let stands = bench.as_it_stands(&trial);
    let mut text = format!("Saved as entry {number}: moved to {spot} on {on}.\n");
    for arm in stands.arms.iter().filter(|arm| arms.contains(&arm.number)) {
        let weeks = on.middle().weeks_since(trial.started_of(arm).middle());
        let is_phase = arm.phases.iter().any(|phase| phase.on == on);
        let words = if is_phase {
            format!(
                "same trial, same {} put in, same method; roots first seen from now on count for it, as rooted after \
                 the move (week {weeks})",
                arm.started,
            )
        } else {
            "aftercare: every living piece has roots already".to_owned()
        };
        let _ = writeln!(text, "  {}: {words}", arm.label);
        if arm.phases.len() > MOST_PHASES {
            let _ = writeln!(
                text,
                "  {}: a record carries {MOST_PHASES} moves; publishing will leave the later ones out",
                arm.label
            );
        }
    }
    text.push_str(&undo::entry(&trial.code, number));
    Ok(Reply::report(
        text,
        json!({ "format": "propagule.entry/1", "entry": number, "saved": true, "trial": trial.code }),
    ))
}

fn arms(trial: &Trial, labels: &[String]) -> Result<Vec<u8>, Failure> {
    if labels.is_empty() {
        return Ok(trial.arms.iter().map(|arm| arm.number).collect());
    }
    let find = |label: &String| {
        trial.target(label).map(|(arm, _)| arm.number).ok_or_else(|| {
            let all: Vec<&str> = trial.arms.iter().map(|arm| arm.label.as_str()).collect();
            Failure::expected(format!("trial \"{}\" has no arm \"{label}\"", trial.code))
                .hint(format!("it has {}", all.join(", ")))
        })
    };
    labels.iter().map(find).collect()
}

/// How pieces left.
pub(super) struct Leaving {
    pub(super) pieces: u16,
    pub(super) how: String,
    pub(super) at_grade: bool,
}

/// Saves that pieces were sold, given or planted out.
pub(super) fn left(
    app: &App,
    code: &str,
    place: Option<&str>,
    leaving: Leaving,
    common: Common,
) -> Result<Reply, Failure> {
    let mut bench = app.bench();
    let trial = match ready(&bench, code, &common)? {
        Ready::For(trial) => trial,
        Ready::Saved(reply) => return Ok(reply),
    };
    let at = tally::at(place, &trial).map_err(|fault| failure("move", &fault))?;
    let Leaving { pieces, how, at_grade } = leaving;
    let on = common.on;
    let what = What::Left {
        trial: trial.code.clone(),
        arm: at.arm,
        replicate: at.replicate.clone(),
        pieces,
        how: how.clone(),
        at_grade,
    };
    let entry = entry(what, common);
    check_later(&bench, &trial, &entry)?;
    let number = bench.record(Event::Entered { entry })?;
    let season = bench.season(&trial);
    let unit = season.units.iter().find(|unit| unit.arm == at.arm && unit.replicate == at.replicate);
    let counted = if at_grade {
        "they count as finished on that day"
    } else {
        "below your grade: what becomes of them is not known, and is shown both ways"
    };
    let standing = unit.map(|unit| super::entering::standing_words(&trial, unit)).unwrap_or_default();
    Ok(Reply::report(
        format!(
            "Saved as entry {number}: {pieces} {how} on {on}; {counted}.\n  {standing}\n{}",
            undo::entry(&trial.code, number)
        ),
        json!({ "format": "propagule.entry/1", "entry": number, "saved": true, "trial": trial.code }),
    ))
}
