//! The pieces have been put in: day, counts and spot as they came.

use std::fmt::Write;

use serde_json::json;

use super::{PutIn, Stick};
use crate::{App, Reply, Report, undo};
use propagule_answer::words::counted;
use propagule_bench::{Bench, Entry, Event, Trial, UnitKey, What};
use propagule_files::fault::Fault;
use propagule_files::paste::pasteable;
use propagule_present::fault;

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
    let (mut text, mut json) = report(&bench, &stuck);
    let opens = bench.opens() == Some(true) && !stuck.is_private;
    drop(bench);
    if !opens {
        return Ok(Reply::report(text, json));
    }
    // What is in the way is said and stops nothing.
    match crate::publish::publish(app, &stuck.code, true, false) {
        Ok(Reply::Done(published)) => {
            json["opened"] = true.into();
            text.push_str("Opened on the network, as you chose (--no-open ends that):\n");
            Ok(Reply::Opened { report: Report { text, json }, published })
        }
        Ok(_) => {
            json["opened"] = true.into();
            Ok(Reply::report(text, json))
        }
        Err(failure) => {
            let _ = writeln!(text, "Not opened on the network yet: {}", fault::text(&failure));
            json["not_opened"] = fault::what(&failure).into();
            json["opened"] = false.into();
            Ok(Reply::report(text, json))
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

fn report(bench: &Bench, trial: &Trial) -> (String, serde_json::Value) {
    let mut text = format!(
        "Put in: {} of {} on {}. This number stays.\n",
        counted(trial.started(), "piece", "pieces"),
        trial.species,
        trial.started_on
    );
    for arm in &trial.arms {
        let _ = writeln!(text, "  {}: {}", arm.label, arm.started);
    }
    let code = pasteable(&trial.code);
    let _ = writeln!(text, "Next: propagule check {code}    (every two weeks; see propagule due)");
    text.push_str(&undo::mend(&trial.code));
    if bench.opens().is_none() {
        text.push_str(
            "\nTrials can be opened on the network on the day they are put in: the number put in is published without \
             any outcome, so that everybody can see how many trials were never reported. Choose once, at any later \
             `stick`: --open or --no-open.\n",
        );
    }
    let json = json!({
        "format": "propagule.stick/1", "trial": trial.code, "started": trial.started(), "on": trial.started_on,
        "opens": bench.opens(),
    });
    (text, json)
}
