//! Pieces put elsewhere, and pieces that left.

use std::collections::BTreeMap;

use propagule_protocol::{Date, Facet};

use super::entering::check_later;
use super::repeated::{self, Found};
use super::request::facet_refused;
use super::{Common, Ready, asking, cautions, counting, entry, fixing, of_entry, ready, said};
use crate::outcome::entry::{ArmMoved, EntryCame, EntryOutcome, PiecesLeft, PiecesMoved};
use crate::outcome::take_back::TakeBack;
use crate::{App, Reply};
use propagule_bench::dates::When;
use propagule_bench::doing::Doing;
use propagule_bench::given::{FacetRefused, FacetsGiven};
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
    let (spot, new_spot) = super::spots::find_or_understand(&bench, to, app.dialect())?;
    check_facets(&facets)?;
    let on = common.on;
    if facets.is_empty() && stands_there(&bench, &trial, &arms, &spot, on.middle()) {
        let came = EntryCame::StandsThere { trial: trial.code.clone(), spot };
        return Ok(of_entry(EntryOutcome { entry: None, saved: false, came }));
    }
    let what =
        What::Moved { trial: trial.code.clone(), arms: arms.clone(), spot: Some(spot.clone()), facets };
    let found = repeated::doing(&bench, &trial, &common, |other| differing_move(&what, other))?;
    if let Some(spot) = &new_spot {
        bench.record(Event::SpotSet { spot: spot.clone() })?;
    }
    let (number, correction) = match save(&mut bench, &trial, what, common, found)? {
        Saved::As { number, correction } => (number, correction),
        Saved::Before(reply) => return Ok(reply),
    };
    let moved = PiecesMoved {
        trial: trial.code.clone(),
        kind: trial.kind(),
        spot,
        new_spot,
        on,
        correction,
        arms: moved_arms(&bench, &trial, &arms, on),
        take_back: TakeBack::entry(&trial.code, number),
    };
    Ok(of_entry(EntryOutcome::saved(number, EntryCame::Moved(moved))))
}

/// Refuses what no facet is, and words that a facet does not have.
fn check_facets(facets: &BTreeMap<String, String>) -> Result<(), Fault> {
    let fault = match FacetsGiven::of_names(facets) {
        Ok(_) => return Ok(()),
        Err(FacetRefused::Words(error)) => facet_refused(Doing::Moving, &error),
        Err(FacetRefused::Name(name)) => {
            let near = propagule_files::closest(&name, Facet::ALL.into_iter().map(Facet::name), 3);
            Fault::user("arm-key-unknown").with("what", Doing::Moving).with("name", name).near(&near)
        }
    };
    Err(fault.in_field("facets"))
}

/// What a move of a day means for each arm that moved.
fn moved_arms(bench: &Bench, trial: &Trial, arms: &[u8], on: When) -> Vec<ArmMoved> {
    let stands = bench.as_it_stands(trial);
    let moved = stands.arms.iter().filter(|arm| arms.contains(&arm.number));
    let moved = moved.map(|arm| ArmMoved {
        arm: arm.label.clone(),
        started: arm.started,
        week: on.middle().weeks_since(trial.started_of(arm).middle()),
        is_phase: arm.phases.iter().any(|phase| phase.on == on),
        moves_carried: (arm.phases.len() > MOST_PHASES).then_some(MOST_PHASES),
    });
    moved.collect()
}

/// Whether all of the arms stand on the spot already; a move of that day counts.
fn stands_there(bench: &Bench, trial: &Trial, arms: &[u8], spot: &str, day: Date) -> bool {
    let season = bench.season(trial);
    arms.iter().all(|arm| bench.spot_of(&season, *arm, day).as_deref() == Some(spot))
}

/// An entry that was saved, or one that was there before.
enum Saved {
    As {
        number: u64,
        /// Number of the correction, where it took the place of another one of the day.
        correction: Option<u64>,
    },
    Before(Reply),
}

/// Saves what happened, or puts it in the place of another entry of the day.
fn save(bench: &mut Bench, trial: &Trial, what: What, common: Common, found: Found) -> Result<Saved, Fault> {
    match found {
        Found::Same(number) => Ok(Saved::Before(repeated::already_in(number, common.on))),
        Found::Nothing => {
            let entry = entry(what, common.clone());
            check_later(bench, trial, &entry)?;
            asking::check_order(bench, trial, &common)?;
            let number = bench.record(Event::Entered { entry })?;
            Ok(Saved::As { number, correction: None })
        }
        Found::Replaced(target, before) => {
            let mut after = *before;
            after.what = what;
            after.note = common.note.or(after.note);
            after.files.extend(common.files);
            fixing::check(bench, trial, target, Some(&after))?;
            let number = bench.record(Event::Corrected { target, entry: Some(after) })?;
            Ok(Saved::As { number: target, correction: Some(number) })
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
    let place = Tally { arm, replicate: replicate.clone(), ..Tally::default() };
    counting::check_place(&trial, &place)?;
    let (pieces, at_grade) = (leaving.pieces, leaving.at_grade);
    let on = common.on;
    let what = What::Left {
        trial: trial.code.clone(),
        arm,
        replicate,
        pieces,
        how: leaving.how.word().to_owned(),
        at_grade,
    };
    let found = repeated::doing(&bench, &trial, &common, |other| differing_departure(&what, other))?;
    let (number, correction) = match save(&mut bench, &trial, what, common, found)? {
        Saved::As { number, correction } => (number, correction),
        Saved::Before(reply) => return Ok(reply),
    };
    let season = bench.season(&trial);
    let from = said::place(&trial, counting::unit_of(&season, &place));
    let left = PiecesLeft {
        trial: trial.code.clone(),
        kind: trial.kind(),
        pieces,
        how: leaving.how,
        at_grade,
        on,
        correction,
        from,
        cautions: cautions::of_leaving(&bench, &trial, app.clock().today().year() as u16),
        take_back: TakeBack::entry(&trial.code, number),
    };
    Ok(of_entry(EntryOutcome::saved(number, EntryCame::Left(left))))
}
