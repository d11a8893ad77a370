//! The pieces have been put in: day, counts and spot as they came.

use std::fmt::Write;

use serde_json::json;

use super::Stick;
use crate::answer::words::counted;
use crate::app::{App, Reply, Report, undo};
use propagule_bench::{Arm, Bench, Entry, Event, Trial, What};
use propagule_files::fault::Fault;
use propagule_files::paste::pasteable;
use propagule_present::fault;

const WHAT: &str = "cannot put the pieces in";

/// Fixes the day and the number put in; from here on a correction is a correction.
pub(super) fn stick(app: &App, stick: &Stick) -> Result<Reply, Fault> {
    let mut bench = app.bench();
    let trial = crate::app::trial::find(bench.trial(&stick.trial), &stick.trial, bench.trials())?.clone();
    if !trial.is_planned {
        return Err(Fault::user("trial-started-already")
            .with("trial", &trial.code)
            .with("started_on", &trial.started_on));
    }
    super::closing::check_open(&bench, &trial)?;
    let mut stuck =
        Trial { is_planned: false, started_on: stick.on, started_known: Some(stick.known), ..trial };
    set_started(&mut stuck, &stick.counts)?;
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
    match crate::app::publish::publish(app, &stuck.code, true, false) {
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

/// Reads `A=11`, `P3=4`: pieces put in where they differ from the plan.
pub(super) fn set_started(trial: &mut Trial, counts: &[String]) -> Result<(), Fault> {
    for text in counts {
        let wrong = |why: &str| {
            Fault::user("started-malformed").with("what", WHAT).with("text", &text).with("why", &why)
        };
        let (place, count) = text.split_once('=').ok_or_else(|| wrong("it has no `=`"))?;
        let count: u16 = count
            .trim()
            .parse()
            .ok()
            .filter(|n| (1..=10_000).contains(n))
            .ok_or_else(|| wrong("it is not a whole number from 1 to 10,000"))?;
        let (arm, pot) = {
            let (arm, pot) =
                trial.target(place.trim()).ok_or_else(|| wrong("the trial has no such pot or arm"))?;
            (arm.number, pot.map(|pot| pot.code.clone()))
        };
        let arm = trial.arms.iter_mut().find(|other| other.number == arm).expect("it was found");
        set_pieces(arm, pot.as_deref(), count).map_err(|why| wrong(&why))?;
    }
    Ok(())
}

fn set_pieces(arm: &mut Arm, pot: Option<&str>, count: u16) -> Result<(), String> {
    match pot {
        Some(code) => {
            for replicate in arm.replicates.iter_mut().filter(|replicate| replicate.code == code) {
                replicate.started = count;
            }
        }
        None if arm.replicates.is_empty() => arm.started = count,
        None => return Err("this arm is counted pot by pot".to_owned()),
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
