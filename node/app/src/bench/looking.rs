//! Everything on a spot, or on the whole bench, was looked at and nothing changed.

use super::{Common, already, entry, sent_before, spots};
use crate::outcome::Outcome;
use crate::outcome::looked::{EverythingLooked, LookedAll};
use crate::outcome::take_back::TakeBack;
use crate::{App, Reply};
use propagule_bench::dates::When;
use propagule_bench::{Bench, Event, Trial, What};
use propagule_files::fault::Fault;

/// Saves one look for every open trial that stands there, or for those of them that are named.
pub(super) fn all(app: &App, spot: Option<&str>, only: &[String], common: &Common) -> Result<Reply, Fault> {
    let mut bench = app.bench();
    if let Some(number) = sent_before(&bench, common) {
        return Ok(already(number));
    }
    let spot = spot.map(|name| spots::find(&bench, name)).transpose()?.map(|spot| spot.name.clone());
    let (known, open): (Vec<&Trial>, Vec<&Trial>) = bench
        .trials()
        .filter(|trial| only.is_empty() || only.iter().any(|code| code.eq_ignore_ascii_case(&trial.code)))
        .filter(|trial| is_open(&bench, trial, spot.as_deref(), common.on))
        .partition(|trial| is_looked(&bench, trial, common.on));
    let codes = |trials: &[&Trial]| trials.iter().map(|trial| trial.code.clone()).collect::<Vec<_>>();
    let (known, open) = (codes(&known), codes(&open));
    if known.is_empty() && open.is_empty() {
        return Err(nothing(spot.as_deref(), common.on));
    }
    let event =
        |code: &String| Event::Entered { entry: entry(What::Looked { trial: code.clone() }, common.clone()) };
    let entries = bench.record_each(open.iter().map(event).collect())?;
    let take_back = entries
        .first()
        .zip(entries.last())
        .map(|(first, last)| TakeBack::Looks { first: *first, last: *last });
    let looked = LookedAll { spot, on: common.on, looked: open, entries, already: known, take_back };
    Ok(Reply::done(Outcome::LookedAll(EverythingLooked::Looked(looked))))
}

fn nothing(spot: Option<&str>, on: When) -> Fault {
    match spot {
        Some(spot) => Fault::user("spot-empty").with("spot", spot).with("on", on),
        None => Fault::user("bench-empty").with("on", on),
    }
}

/// Whether a trial was put in, is not closed, has pieces left, and stands there on a day.
fn is_open(bench: &Bench, trial: &Trial, spot: Option<&str>, on: When) -> bool {
    if trial.is_planned || on.last < trial.started_on.first {
        return false;
    }
    let (season, day) = (bench.season(trial), on.middle());
    let stands_there = |spot: &str| {
        let spots = trial.arms.iter().filter_map(|arm| bench.spot_of(&season, arm.number, day));
        spots.into_iter().any(|on| on.eq_ignore_ascii_case(spot))
    };
    season.closed().is_none()
        && season.units.iter().any(|unit| unit.standing_on(day).base() > 0)
        && spot.is_none_or(stands_there)
}

/// Whether somebody looked at it on that day already, and changed nothing.
fn is_looked(bench: &Bench, trial: &Trial, on: When) -> bool {
    bench
        .entries_of(&trial.code)
        .any(|(_, entry)| entry.on == on && matches!(entry.what, What::Looked { .. }))
}

/// Takes looks back, by the numbers of the first and the last.
pub(super) fn take_back(app: &App, (first, last): (u64, u64)) -> Result<Reply, Fault> {
    let mut bench = app.bench();
    let looks: Vec<(u64, String)> = bench
        .entries()
        .filter(|(number, _)| (first..=last).contains(number))
        .filter_map(|(number, entry)| match &entry.what {
            What::Looked { trial } => Some((number, trial.clone())),
            _ => None,
        })
        .collect();
    if looks.len() as u64 != last.saturating_sub(first) + 1 {
        let range = if first == last { first.to_string() } else { format!("{first}-{last}") };
        return Err(Fault::user("looks-not-standing").with("range", range));
    }
    bench.record_all(
        looks.iter().map(|(number, _)| Event::Corrected { target: *number, entry: None }).collect(),
    )?;
    let (taken_back, trials) = looks.into_iter().unzip();
    Ok(Reply::done(Outcome::LookedAll(EverythingLooked::TakenBack { taken_back, trials })))
}
