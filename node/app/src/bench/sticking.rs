//! The pieces have been put in: day, counts and spot as they came.

use super::{PutIn, Stick};
use crate::outcome::Outcome;
use crate::outcome::said::Said;
use crate::outcome::stick::{ArmPutIn, Stuck};
use crate::{App, Reply};
use propagule_bench::{Bench, Entry, Event, Trial, UnitKey, What};
use propagule_files::fault::Fault;

/// The most pieces of a place.
const MOST_PUT_IN: u16 = 10_000;

/// Fixes the day and the number put in; from here on a correction is a correction.
pub(super) fn stick(app: &App, stick: &Stick) -> Result<Reply, Fault> {
    let mut bench = app.bench();
    let trial = crate::trial::find(bench.trial(&stick.trial), &stick.trial, bench.trials())?.clone();
    if !trial.is_planned {
        return Err(Fault::user("trial-started-already")
            .with("trial", &trial.code)
            .with("started_on", trial.started_on));
    }
    super::closing::check_open(&bench, &trial)?;
    let mut stuck =
        Trial { is_planned: false, started_on: stick.on, started_known: Some(stick.known), ..trial };
    stick.counts.iter().try_for_each(|counted| put_in(&mut stuck, counted))?;
    let mut events = vec![Event::TrialRecorded { trial: stuck.clone() }];
    events.extend(standing(&bench, &stuck, stick)?);
    events.extend(stick.opens.map(|opens| Event::OpeningChosen { opens }));
    bench.record_all(events)?;
    let opens = bench.opens();
    drop(bench);
    let outcome = outcome(&stuck, opens);
    if opens != Some(true) || stuck.is_private {
        return Ok(Reply::done(Outcome::Stuck(outcome)));
    }
    Ok(opened(app, outcome))
}

/// Opens on the network what was put in. What is in the way is said and stops nothing.
fn opened(app: &App, stuck: Stuck) -> Reply {
    match crate::publish::publish(app, &stuck.trial, true, false) {
        Ok(Reply::Done(by)) => {
            let first = Box::new(Outcome::Stuck(Stuck { opened: Some(true), ..stuck }));
            Reply::Followed { first, by }
        }
        Ok(_) => Reply::done(Outcome::Stuck(Stuck { opened: Some(true), ..stuck })),
        Err(fault) => {
            let not_opened = Some(Said::WhatOf { fault });
            Reply::done(Outcome::Stuck(Stuck { opened: Some(false), not_opened, ..stuck }))
        }
    }
}

/// Takes the pieces that were put in at a place.
pub(super) fn put_in(trial: &mut Trial, put_in: &PutIn) -> Result<(), Fault> {
    let PutIn { unit: UnitKey { arm, replicate }, pieces } = put_in;
    let code = trial.code.clone();
    let gone = |text: String| Fault::user("place-gone").with("trial", &code).with("text", text);
    let Some(arm) = trial.arms.iter_mut().find(|other| other.number == *arm) else {
        return Err(gone(arm.to_string()));
    };
    if !(1..=MOST_PUT_IN).contains(pieces) {
        let place = replicate.as_ref().unwrap_or(&arm.label);
        return Err(Fault::user("put-in-not-a-number")
            .with("text", format!("{place}={pieces}"))
            .in_field(format!("counts/{place}")));
    }
    match replicate {
        Some(code) => {
            let mut pots = arm.replicates.iter_mut().filter(|replicate| replicate.code == *code).peekable();
            if pots.peek().is_none() {
                return Err(gone(code.clone()));
            }
            pots.for_each(|pot| pot.started = *pieces);
        }
        None if arm.replicates.is_empty() => arm.started = *pieces,
        None => {
            return Err(Fault::user("put-in-arm-of-pots").with("text", format!("{}={pieces}", arm.label)));
        }
    }
    if !arm.replicates.is_empty() {
        arm.started = arm.replicates.iter().map(|replicate| replicate.started).sum();
    }
    Ok(())
}

/// Arms on the spots they were meant for, or all on the one given now.
fn standing(bench: &Bench, trial: &Trial, stick: &Stick) -> Result<Vec<Event>, Fault> {
    let mut by_spot: std::collections::BTreeMap<String, Vec<u8>> = std::collections::BTreeMap::new();
    for arm in &trial.arms {
        let Some(name) = stick.spot.as_ref().or(arm.spot.as_ref()) else { continue };
        let spot = super::spots::find(bench, name)?.name.clone();
        by_spot.entry(spot).or_default().push(arm.number);
    }
    let entry = |(spot, arms)| Entry {
        on: trial.started_on,
        what: What::Stood { trial: trial.code.clone(), arms, spot },
        note: None,
        files: Vec::new(),
        once: None,
    };
    Ok(by_spot.into_iter().map(|placed| Event::Entered { entry: entry(placed) }).collect())
}

fn outcome(trial: &Trial, opens: Option<bool>) -> Stuck {
    let arms = trial.arms.iter().map(|arm| ArmPutIn { arm: arm.label.clone(), started: arm.started });
    Stuck {
        trial: trial.code.clone(),
        species: trial.species.clone(),
        kind: trial.kind(),
        started: trial.started(),
        arms: arms.collect(),
        on: trial.started_on,
        opens,
        opened: None,
        not_opened: None,
    }
}
