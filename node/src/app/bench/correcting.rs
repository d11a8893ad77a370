//! Corrections: a new event says how something stands from now on; what was typed before is kept.

use std::fmt::Write;

use serde_json::json;

use super::entering::{check_day, contradicted};
use super::{CorrectTrial, failure};
use crate::app::{App, Reply, naming};
use crate::bench::typed::arm;
use crate::bench::typed::tally;
use crate::bench::{Bench, Entry, Event, Season, Tally, Trial, What};
use crate::error::Failure;
use crate::paper::dates::When;
use crate::paste::pasteable;

/// Corrects an entry, or takes it back.
pub(super) fn entry(
    app: &App,
    code: &str,
    number: u64,
    counts: &[String],
    on: Option<When>,
    take_back: bool,
) -> Result<Reply, Failure> {
    let mut bench = app.bench();
    let trial = crate::app::trial::find(bench.trial(code), code, bench.trials())?.clone();
    let before = bench.entries().find(|(found, _)| *found == number).map(|(_, entry)| entry.clone());
    let Some(before) = before.filter(|entry| entry.what.trial() == Some(trial.code.as_str())) else {
        return Err(Failure::expected(format!("trial \"{}\" has no entry {number}", trial.code))
            .hint(format!("see its entries: propagule trial history {}", pasteable(&trial.code))));
    };
    let after = if take_back { None } else { Some(corrected(&trial, &before, counts, on)?) };
    if after.as_ref() == Some(&before) {
        return Err(Failure::expected(format!("entry {number} stands so already"))
            .hint("say what is different: counts such as P6:rooted=3, --on, or --take-back"));
    }
    if let Some(after) = &after {
        check_day(&trial, &after.on)?;
    }
    check(&bench, &trial, number, after.as_ref())?;
    bench.record(Event::Corrected { target: number, entry: after.clone() })?;
    let season = bench.season(&trial);
    let mut text = match &after {
        Some(after) => format!("Entry {number} is corrected: {} on {}.\n", after.what.word(), after.on),
        None => format!("Entry {number} is taken back; it stays in the history.\n"),
    };
    for unit in &season.units {
        let _ = writeln!(text, "  {}: {}", unit.label(&trial), super::entering::standing_words(&trial, unit));
    }
    Ok(Reply::report(
        text,
        json!({ "format": "propagule.entry/1", "entry": number, "saved": true, "taken_back": after.is_none() }),
    ))
}

/// The entry with the counts of the named places replaced, and another day where one is given.
fn corrected(trial: &Trial, before: &Entry, counts: &[String], on: Option<When>) -> Result<Entry, Failure> {
    let mut after = before.clone();
    after.on = on.unwrap_or(before.on);
    if counts.is_empty() {
        return Ok(after);
    }
    let What::Counted { stage, tallies, .. } = &mut after.what else {
        return Err(Failure::expected(format!("that entry holds no counts: it says {}", before.what.word()))
            .hint("only its day can be corrected (--on), or take it back (--take-back)"));
    };
    for text in counts {
        let tally = tally::read(text, trial, *stage).map_err(|fault| failure("correct", &fault))?;
        let same = |other: &Tally| other.arm == tally.arm && other.replicate == tally.replicate;
        match tallies.iter_mut().find(|other| same(other)) {
            Some(old) => *old = tally,
            None => tallies.push(tally),
        }
    }
    Ok(after)
}

/// What follows must still be possible.
pub(super) fn check(bench: &Bench, trial: &Trial, number: u64, after: Option<&Entry>) -> Result<(), Failure> {
    let known: Vec<u64> = bench.season(trial).faults.into_iter().map(|(number, _)| number).collect();
    let others = bench.entries().filter(|(other, _)| *other != number);
    let all: Vec<(u64, &Entry)> = others.chain(after.map(|entry| (number, entry))).collect();
    let faults = Season::new(trial, all.into_iter()).faults;
    match faults.into_iter().find(|(found, _)| *found == number || !known.contains(found)) {
        None => Ok(()),
        Some((found, why)) if found == number => {
            Err(Failure::expected(format!("entry {number} cannot be corrected so: {why}"))
                .hint(format!("propagule trial history {}", pasteable(&trial.code))))
        }
        Some((found, why)) => Err(contradicted(bench, trial, found, &why)),
    }
}

/// Corrects the description of a trial.
pub(super) fn trial(app: &App, correct: &CorrectTrial) -> Result<Reply, Failure> {
    let mut bench = app.bench();
    let before =
        crate::app::trial::find(bench.trial(&correct.trial), &correct.trial, bench.trials())?.clone();
    let mut after = before.clone();
    describe(&mut after, correct)?;
    for text in &correct.arms {
        let typed = arm::read(text).map_err(|fault| failure("correct", &fault))?;
        correct_arm(&mut after, typed)?;
    }
    super::sticking::set_started(&mut after, &correct.started)?;
    let events = relabelled(&bench, &mut after, correct)?;
    let changes = after.changes_since(&before);
    if changes.is_empty() && after == before {
        return Err(Failure::expected(format!("trial \"{}\": nothing would change", before.code)).hint(
            format!(
                "say what is to be corrected: propagule trial correct {} --help",
                pasteable(&before.code)
            ),
        ));
    }
    let known = bench.season(&before).faults.len();
    if let Some((number, why)) = Season::new(&after, bench.entries()).faults.into_iter().nth(known)
        && events.is_empty()
    {
        return Err(contradicted(&bench, &before, number, &why));
    }
    let published = app.published(&before)?;
    let mut all = vec![Event::TrialRecorded { trial: after.clone() }];
    all.extend(events);
    bench.record_all(all)?;
    let mut text = format!("Trial {} is corrected; how it stood before is kept.\n", after.code);
    for change in &changes {
        let _ = writeln!(text, "  {change}");
    }
    if published.is_some() {
        let _ = writeln!(
            text,
            "It is published: publish the correction as a revision: propagule publish {}",
            pasteable(&after.code)
        );
    }
    if after.started() < before.started() && published.is_some() {
        text.push_str("The published number put in was larger: others will go on with that one, and the trial is flagged.\n");
    }
    Ok(Reply::report(
        text,
        json!({ "format": "propagule.trial_corrected/1", "trial": after.code, "changes": changes }),
    ))
}

fn describe(trial: &mut Trial, correct: &CorrectTrial) -> Result<(), Failure> {
    if let Some(species) = &correct.species {
        let named = naming::read("correct", species, correct.yes)?;
        trial.species_typed = naming::species_typed(species, &named);
        trial.species = named.taxon.to_string();
    }
    trial.started_on = correct.started_on.unwrap_or(trial.started_on);
    trial.lift_on = correct.lift_on.or(trial.lift_on);
    let set = |slot: &mut Option<String>, new: &Option<String>| {
        if new.is_some() {
            slot.clone_from(new);
        }
    };
    set(&mut trial.place, &correct.place);
    set(&mut trial.rooted_rule, &correct.rooted_rule);
    set(&mut trial.grade, &correct.grade);
    set(&mut trial.note, &correct.note);
    Ok(())
}

fn correct_arm(trial: &mut Trial, typed: arm::TypedArm) -> Result<(), Failure> {
    let code = trial.code.clone();
    let labels: Vec<String> = trial.arms.iter().map(|arm| arm.label.clone()).collect();
    let Some(arm) = trial.arms.iter_mut().find(|arm| arm.label.eq_ignore_ascii_case(&typed.label)) else {
        return Err(Failure::expected(format!("trial \"{code}\" has no arm \"{}\"", typed.label)).hint(
            format!(
                "it has {}; fresh pieces are a new trial with --parent {}",
                labels.join(", "),
                pasteable(&code)
            ),
        ));
    };
    if typed.pots.is_some() || typed.pieces.is_some() {
        return Err(Failure::expected("correct: pots and pieces of an arm are not changed here")
            .hint("a number put in that was miscounted: --started P3=4 or --started A=12"));
    }
    for (name, words) in typed.facets {
        arm::check_facet(&name, &words).map_err(|fault| failure("correct", &fault))?;
        arm.facets.insert(name, words);
    }
    arm.facets.retain(|_, words| !words.is_empty());
    arm.operator = typed.operator.or(arm.operator.take());
    arm.stock_plant = typed.stock.or(arm.stock_plant.take());
    arm.spot = typed.spot.or(arm.spot.take());
    arm.unlisted = typed.unlisted.or(arm.unlisted.take());
    Ok(())
}

/// New codes on tags, in the trial and in every entry that named the old ones.
fn relabelled(bench: &Bench, trial: &mut Trial, correct: &CorrectTrial) -> Result<Vec<Event>, Failure> {
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
                return Err(Failure::expected(format!(
                    "correct: trial \"{}\" has no pot \"{old}\"",
                    trial.code
                ))
                .hint(format!("see them: propagule trial show {}", pasteable(&trial.code))));
            }
            (_, false, _) => {
                return Err(Failure::expected(format!("correct: \"{new}\" cannot be the code of a pot"))
                    .hint("use 1 to 12 letters and digits, such as P9"));
            }
            (_, _, true) => {
                return Err(Failure::expected(format!("correct: there is a pot or arm \"{new}\" already"))
                    .hint("choose a code that is free"));
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
