//! Pieces put elsewhere, and pieces that left.

use std::collections::BTreeMap;
use std::fmt::Write;

use propagule_protocol::Date;
use serde_json::json;

use super::entering::check_later;
use super::repeated::{self, Found};
use super::{Common, Ready, asking, counting, entry, failure, fixing, ready};
use crate::{App, Reply, undo};
use propagule_answer::words::kind::KindWords;
use propagule_bench::typed::arm::check_facet;
use propagule_bench::{Bench, Departure, Difference, Event, Tally, Trial, UnitKey, What};
use propagule_files::fault::Fault;

/// Later phases that a record can carry.
const MOST_PHASES: usize = 2;

/// Saves that the living pieces of some arms were put elsewhere.
pub(super) fn moved(
    app: &App,
    code: &str,
    arms: &[u8],
    to: &str,
    facets: BTreeMap<String, String>,
    common: Common,
) -> Result<Reply, Fault> {
    let mut bench = app.bench();
    let trial = match ready(&bench, code, &common)? {
        Ready::For(trial) => trial,
        Ready::Saved(reply) => return Ok(reply),
    };
    let arms = known_arms(&trial, arms)?;
    let spot = super::spots::find(&bench, to)?.name.clone();
    for (name, words) in &facets {
        check_facet(name, words).map_err(|fault| failure("move", &fault).in_field("facets"))?;
    }
    let on = common.on;
    if facets.is_empty() && stands_there(&bench, &trial, &arms, &spot, on.middle()) {
        return Ok(Reply::report(
            format!("{} is on {spot} already; nothing saved.\n", trial.code),
            json!({ "format": "propagule.entry/1", "entry": null, "saved": false, "trial": trial.code }),
        ));
    }
    let what =
        What::Moved { trial: trial.code.clone(), arms: arms.clone(), spot: Some(spot.clone()), facets };
    let found = repeated::doing(&bench, &trial, &common, |other| differing_move(&what, other))?;
    let (number, how) = match save(&mut bench, &trial, what, common, found)? {
        Saved::As(number, how) => (number, how),
        Saved::Before(reply) => return Ok(reply),
    };
    let stands = bench.as_it_stands(&trial);
    let mut text = format!("{how}: moved to {spot} on {on}.\n");
    for arm in stands.arms.iter().filter(|arm| arms.contains(&arm.number)) {
        let weeks = on.middle().weeks_since(trial.started_of(arm).middle());
        let is_phase = arm.phases.iter().any(|phase| phase.on == on);
        let words = if is_phase {
            format!(
                "same trial, same {} put in, same method; what is first seen to have {} from now on counts for it, as \
                 after the move to {spot} (week {weeks})",
                arm.started,
                KindWords::of_trial(&trial).had,
            )
        } else {
            format!("aftercare: every living piece is {} already", KindWords::of_trial(&trial).lead)
        };
        let _ = writeln!(text, "  {}: {words}", arm.label);
        if arm.phases.len() > MOST_PHASES {
            let _ = writeln!(
                text,
                "  {}: a record carries {MOST_PHASES} moves: the first and the last",
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

/// Whether all of the arms stand on the spot already; a move of that day counts.
fn stands_there(bench: &Bench, trial: &Trial, arms: &[u8], spot: &str, day: Date) -> bool {
    let season = bench.season(trial);
    arms.iter().all(|arm| bench.spot_of(&season, *arm, day).as_deref() == Some(spot))
}

/// An entry that was saved, and in which words; or one that was there before.
enum Saved {
    As(u64, String),
    Before(Reply),
}

/// Saves what happened, or puts it in the place of another entry of the day.
fn save(bench: &mut Bench, trial: &Trial, what: What, common: Common, found: Found) -> Result<Saved, Fault> {
    match found {
        Found::Same(number) => Ok(Saved::Before(repeated::already_in(bench, number))),
        Found::Nothing => {
            let entry = entry(what, common.clone());
            check_later(bench, trial, &entry)?;
            asking::check_order(bench, trial, &common)?;
            let number = bench.record(Event::Entered { entry })?;
            Ok(Saved::As(number, format!("Saved as entry {number}")))
        }
        Found::Replaced(target, before) => {
            let mut after = *before;
            after.what = what;
            after.note = common.note.or(after.note);
            after.files.extend(common.files);
            fixing::check(bench, trial, target, Some(&after))?;
            let number = bench.record(Event::Corrected { target, entry: Some(after) })?;
            Ok(Saved::As(
                target,
                format!("Entry {target} is corrected, as entry {number}; the history keeps both"),
            ))
        }
    }
}

/// How a move differs from another one of the same arms; `None` where the other is none.
fn differing_move(what: &What, other: &What) -> Option<Vec<Difference>> {
    let (
        What::Moved { arms, spot, facets, .. },
        What::Moved { arms: then, spot: spot_then, facets: facets_then, .. },
    ) = (what, other)
    else {
        return None;
    };
    if !arms.iter().any(|arm| then.contains(arm)) {
        return None;
    }
    let mut differences = Vec::new();
    if spot != spot_then {
        differences.push(Difference::Spot { then: spot_then.clone(), now: spot.clone() });
    }
    if arms != then {
        differences.push(Difference::Arms);
    }
    if facets != facets_then {
        differences.push(Difference::Facets);
    }
    Some(differences)
}

/// How pieces that left differ from others of the same place; `None` where the other is something else.
fn differing_departure(what: &What, other: &What) -> Option<Vec<Difference>> {
    let (
        What::Left { arm, replicate, pieces, how, at_grade, .. },
        What::Left {
            arm: arm_then,
            replicate: place_then,
            pieces: n_then,
            how: how_then,
            at_grade: grade_then,
            ..
        },
    ) = (what, other)
    else {
        return None;
    };
    if arm != arm_then || replicate != place_then {
        return None;
    }
    if pieces == n_then && how == how_then && at_grade == grade_then {
        return Some(Vec::new());
    }
    Some(vec![Difference::Left {
        pieces_then: *n_then,
        how_then: how_then.clone(),
        at_grade_then: *grade_then,
        pieces: *pieces,
        how: how.clone(),
        at_grade: *at_grade,
    }])
}

/// The arms that are named, all of them where none is.
fn known_arms(trial: &Trial, arms: &[u8]) -> Result<Vec<u8>, Fault> {
    if arms.is_empty() {
        return Ok(trial.arms.iter().map(|arm| arm.number).collect());
    }
    match arms.iter().find(|arm| trial.arm(**arm).is_none()) {
        Some(arm) => Err(Fault::user("place-gone").with("trial", &trial.code).with("text", arm)),
        None => Ok(arms.to_vec()),
    }
}

/// How pieces left.
pub(super) struct Leaving {
    pub(super) pieces: u16,
    pub(super) how: Departure,
    pub(super) at_grade: bool,
}

/// Saves that pieces were sold, given or planted out.
pub(super) fn left(
    app: &App,
    code: &str,
    unit: UnitKey,
    leaving: &Leaving,
    common: Common,
) -> Result<Reply, Fault> {
    let mut bench = app.bench();
    let trial = match ready(&bench, code, &common)? {
        Ready::For(trial) => trial,
        Ready::Saved(reply) => return Ok(reply),
    };
    let UnitKey { arm, replicate } = unit;
    counting::check_place(&trial, &Tally { arm, replicate: replicate.clone(), ..Tally::default() })?;
    let (pieces, at_grade) = (leaving.pieces, leaving.at_grade);
    let how = leaving.how.word();
    let on = common.on;
    let what = What::Left {
        trial: trial.code.clone(),
        arm,
        replicate: replicate.clone(),
        pieces,
        how: how.to_owned(),
        at_grade,
    };
    let found = repeated::doing(&bench, &trial, &common, |other| differing_departure(&what, other))?;
    let (number, words) = match save(&mut bench, &trial, what, common, found)? {
        Saved::As(number, words) => (number, words),
        Saved::Before(reply) => return Ok(reply),
    };
    let season = bench.season(&trial);
    let unit = season.units.iter().find(|unit| unit.arm == arm && unit.replicate == replicate);
    let counted = if at_grade {
        "they count as finished on that day"
    } else {
        "below your grade: what becomes of them is not known, and is shown both ways"
    };
    let standing = unit.map(|unit| super::entering::standing_words(&trial, unit)).unwrap_or_default();
    Ok(Reply::report(
        format!(
            "{words}: {pieces} {how} on {on}; {counted}.\n  {standing}\n{}",
            undo::entry(&trial.code, number)
        ),
        json!({ "format": "propagule.entry/1", "entry": number, "saved": true, "trial": trial.code }),
    ))
}
