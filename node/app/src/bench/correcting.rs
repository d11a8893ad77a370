//! Corrections of a trial's description; how it stood before is kept.

use super::entering::contradicted;
use super::{ArmGiven, CorrectTrial, as_data, copying, started, text};
use crate::outcome::Outcome;
use crate::outcome::corrected::TrialCorrected;
use crate::outcome::said::Said;
use crate::{App, Reply, naming};
use propagule_bench::{Bench, Event, Season, Trial, What};
use propagule_files::fault::Fault;

/// What is done, before what is wrong with it.
const WHAT: &str = "correct";
/// The same of the number put in.
const PUT_IN: &str = "cannot put the pieces in";

/// Corrects the description of a trial.
pub(crate) fn trial(app: &App, correct: &CorrectTrial) -> Result<Reply, Fault> {
    let mut bench = app.bench();
    let before = crate::trial::find(bench.trial(&correct.trial), &correct.trial, bench.trials())?.clone();
    let mut after = before.clone();
    describe(&mut after, correct)?;
    for (arm, index) in correct.arms.iter().zip(0..) {
        correct_arm(&mut after, index, arm)?;
    }
    copying::set_operators(WHAT, &mut after.arms, &correct.done_by)?;
    set_control(&bench, &mut after, correct.control.as_deref())?;
    started::set(PUT_IN, &mut after, &correct.started)?;
    lock_started(&bench, &before, &mut after)?;
    let events = relabelled(&bench, &mut after, correct)?;
    let kind = after.kind();
    let changes: Vec<Said> =
        after.changes_since(&before).into_iter().map(|change| Said::Change { change, kind }).collect();
    if changes.is_empty() && after == before {
        return Err(Fault::user("correction-changes-nothing").with("trial", &before.code));
    }
    let known = bench.season(&before).faults.len();
    if let Some((number, why)) = Season::new(&after, bench.entries()).faults.into_iter().nth(known)
        && events.is_empty()
    {
        return Err(contradicted(&bench, &before, number, &why));
    }
    let is_published = app.published(&before)?.is_some();
    let mut all = vec![Event::TrialRecorded { trial: after.clone() }];
    all.extend(events);
    bench.record_all(all)?;
    let is_started_changed = after.is_started_changed && !before.is_started_changed;
    let trial = after.code;
    let corrected = TrialCorrected { trial, changes, is_published, is_started_changed };
    Ok(Reply::done(Outcome::TrialCorrected(corrected)))
}

/// What the others are held against is chosen before anything is known of the results.
fn set_control(bench: &Bench, trial: &mut Trial, named: Option<&str>) -> Result<(), Fault> {
    let Some(label) = named else { return Ok(()) };
    let control = copying::control(WHAT, &trial.arms, Some(label))?;
    if control != trial.control && is_counted(bench, trial) {
        return Err(Fault::user("control-after-count").with("trial", &trial.code));
    }
    trial.control = control;
    Ok(())
}

/// Once something was counted, the number put in can only rise, and it is known that it did.
fn lock_started(bench: &Bench, before: &Trial, after: &mut Trial) -> Result<(), Fault> {
    let (then, now) = (units(before), units(after));
    if before.is_planned || then == now || !is_counted(bench, before) {
        return Ok(());
    }
    let fewer = then.into_iter().zip(now).filter(|((_, then), (_, now))| now < then);
    let fewer: Vec<(String, u16)> = fewer.map(|((place, then), (_, now))| (place, then - now)).collect();
    if fewer.is_empty() {
        after.is_started_changed = true;
        return Ok(());
    }
    Err(Fault::user("started-after-count").with("trial", &before.code).with("fewer", as_data(&fewer)))
}

/// Pieces put in of each place; codes may change in the same correction, their order does not.
fn units(trial: &Trial) -> Vec<(String, u16)> {
    trial
        .arms
        .iter()
        .flat_map(|arm| {
            let pots = arm.replicates.iter().map(|pot| (pot.code.clone(), pot.started));
            let whole = Some((arm.label.clone(), arm.started)).filter(|_| arm.replicates.is_empty());
            whole.into_iter().chain(pots)
        })
        .collect()
}

/// Whether anything was entered that states a number of pieces, or came with a table.
fn is_counted(bench: &Bench, trial: &Trial) -> bool {
    let states = |what: &What| {
        matches!(what, What::Counted { .. } | What::Left { .. } | What::Closed { rest: Some(_), .. })
    };
    let entered =
        bench.entries().any(|(_, entry)| entry.what.trial() == Some(&trial.code) && states(&entry.what));
    entered || trial.last_stage().is_some()
}

fn describe(trial: &mut Trial, correct: &CorrectTrial) -> Result<(), Fault> {
    if let Some(species) = &correct.species {
        let named =
            naming::read(WHAT, species, correct.yes).map_err(|failure| failure.in_field("species"))?;
        trial.species_typed = naming::species_typed(species, &named);
        trial.species = named.taxon.to_string();
    }
    trial.started_on = correct.started_on.unwrap_or(trial.started_on);
    trial.lift_on = correct.lift_on.or(trial.lift_on);
    let set = |slot: &mut Option<String>, new: Option<String>| *slot = new.or(slot.take());
    set(&mut trial.place, text::kept(correct.place.as_deref()));
    set(&mut trial.rooted_rule, text::kept(correct.rooted_rule.as_deref()));
    set(&mut trial.grade, text::kept(correct.grade.as_deref()));
    set(&mut trial.note, text::kept(correct.note.as_deref()));
    Ok(())
}

fn correct_arm(trial: &mut Trial, index: usize, given: &ArmGiven) -> Result<(), Fault> {
    let ArmGiven { label, said } = given;
    let Some(arm) = trial.arms.iter_mut().find(|arm| arm.label.eq_ignore_ascii_case(label)) else {
        let labels: Vec<&str> = trial.arms.iter().map(|arm| arm.label.as_str()).collect();
        return Err(Fault::user("arm-unknown-to-correct")
            .with("code", &trial.code)
            .with("label", label)
            .with("labels", labels.join(", "))
            .in_field(format!("arms.{index}.label")));
    };
    if said.pots.is_some() || said.pieces.is_some() {
        return Err(Fault::user("correction-of-pots").in_field(format!("arms.{index}")));
    }
    said.facets.write_into(&mut arm.facets);
    arm.at_home.extend(said.at_home.clone());
    let set = |slot: &mut Option<String>, new: &Option<String>| {
        if new.is_some() {
            slot.clone_from(new);
        }
    };
    set(&mut arm.operator, &said.operator);
    set(&mut arm.stock_plant, &said.stock);
    set(&mut arm.spot, &said.spot);
    set(&mut arm.unlisted, &said.differs);
    Ok(())
}

/// New codes on tags, in the trial and in every entry that named the old ones.
fn relabelled(bench: &Bench, trial: &mut Trial, correct: &CorrectTrial) -> Result<Vec<Event>, Fault> {
    for (old, new) in &correct.relabelled {
        let is_plain = !new.is_empty() && new.chars().count() <= 12 && !new.contains([':', '=', ',', ' ']);
        let taken = trial.target(new).is_some();
        let found = trial
            .arms
            .iter_mut()
            .flat_map(|arm| &mut arm.replicates)
            .find(|replicate| replicate.code.eq_ignore_ascii_case(old));
        match (found, is_plain, taken) {
            (Some(replicate), true, false) => new.clone_into(&mut replicate.code),
            (None, ..) => {
                return Err(Fault::user("pot-unknown").with("trial", &trial.code).with("old", old));
            }
            (_, false, _) => {
                return Err(Fault::user("pot-code-malformed").with("new", new));
            }
            (_, _, true) => {
                return Err(Fault::user("pot-code-taken").with("new", new));
            }
        }
    }
    let mut events = Vec::new();
    for (number, entry) in bench.entries().filter(|(_, entry)| entry.what.trial() == Some(&trial.code)) {
        let mut after = entry.clone();
        rename(&mut after.what, &correct.relabelled);
        if after != *entry {
            events.push(Event::Corrected { target: number, entry: Some(after) });
        }
    }
    Ok(events)
}

fn rename(what: &mut What, names: &std::collections::BTreeMap<String, String>) {
    let rename = |code: &mut Option<String>| {
        let new = code.as_ref().and_then(|old| names.iter().find(|(from, _)| from.eq_ignore_ascii_case(old)));
        if let Some((_, new)) = new {
            *code = Some(new.clone());
        }
    };
    match what {
        What::Counted { tallies, .. } => tallies.iter_mut().for_each(|tally| rename(&mut tally.replicate)),
        What::Left { replicate, .. } => rename(replicate),
        _ => {}
    }
}
