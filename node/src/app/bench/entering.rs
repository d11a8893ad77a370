//! Counts, looks, notes: checked against everything known before they are saved.

use std::fmt::Write;

use serde_json::json;

use super::{Common, Enter, Ready, already, entry, failure, ready, sent_before, stuck};
use crate::answer::words::kind::KindWords;
use crate::app::{App, Reply, undo};
use crate::bench::fates::Taken;
use crate::bench::typed::{self, tally};
use crate::bench::{Bench, Entry, Event, FateFault, Law, Season, Stage, Standing, Tally, Trial, Unit, What};
use crate::error::Failure;
use crate::paper::dates::When;
use crate::paste::pasteable;

/// Saves what was counted at a check or a stage, or that somebody looked.
pub(super) fn enter(app: &App, enter: &Enter) -> Result<Reply, Failure> {
    let mut bench = app.bench();
    let trial = match ready(&bench, &enter.trial, &enter.common)? {
        Ready::For(trial) => trial,
        Ready::Saved(reply) => return Ok(reply),
    };
    let tallies = read(&trial, enter)?;
    let common = enter.common.clone();
    let what = if tallies.is_empty() {
        if let Some(stage) = enter.stage {
            return Err(Failure::expected(format!(
                "{} of trial \"{}\": nothing was counted",
                stage.word(),
                trial.code
            ))
            .hint(format!("see how counts are written: propagule {} --help", stage.word())));
        }
        What::Looked { trial: trial.code.clone() }
    } else {
        let tallies = settled(&bench, &trial, &tallies, enter)?;
        What::Counted {
            trial: trial.code.clone(),
            stage: enter.stage,
            tallies,
            is_blind: enter.is_blind,
            law: Law::Fates,
        }
    };
    let entry = entry(what, common);
    check_later(&bench, &trial, &entry)?;
    let number = bench.record(Event::Entered { entry: entry.clone() })?;
    Ok(report(&bench, &trial, number, &entry))
}

fn read(trial: &Trial, enter: &Enter) -> Result<Vec<Tally>, Failure> {
    let what = enter.stage.map_or("check", Stage::word);
    let read = |text: &String| tally::read(text, trial, enter.stage);
    let mut tallies = enter
        .counts
        .iter()
        .map(read)
        .collect::<Result<Vec<_>, _>>()
        .map_err(|fault| failure(what, &fault))?;
    if let Some(text) = &enter.in_order {
        let order = super::laying_out::sheet_order(trial);
        tallies.extend(tally::in_order(text, &order, trial).map_err(|fault| failure(what, &fault))?);
    }
    for (index, tally) in tallies.iter().enumerate() {
        let same = |other: &&Tally| other.arm == tally.arm && other.replicate == tally.replicate;
        if tallies[..index].iter().find(same).is_some() {
            let place = place_of(trial, tally);
            return Err(Failure::expected(format!("{what}: {place} is counted twice"))
                .hint("write all counts of a place in one go, parted by commas"));
        }
    }
    Ok(tallies)
}

/// What a grower calls the place of a tally.
fn place_of(trial: &Trial, tally: &Tally) -> String {
    let arm = || trial.arm(tally.arm).map(|arm| arm.label.clone()).unwrap_or_default();
    tally.replicate.clone().unwrap_or_else(arm)
}

/// Nothing happens before the pieces are put in.
pub(super) fn check_day(trial: &Trial, on: &When) -> Result<(), Failure> {
    if on.last >= trial.started_on.first {
        return Ok(());
    }
    Err(Failure::expected(format!(
        "{on} is before the pieces of trial \"{}\" were put in ({})",
        trial.code, trial.started_on
    ))
    .hint("look at the year of --on"))
}

/// Tallies with what `--rest` says filled in; those that need no rest stay as typed, so that a correction of an
/// earlier count can still change what follows from it.
fn settled(bench: &Bench, trial: &Trial, tallies: &[Tally], enter: &Enter) -> Result<Vec<Tally>, Failure> {
    let season = bench.season(trial);
    let day = enter.common.on.middle();
    let mut out = Vec::new();
    for tally in tallies {
        let unit = unit_of(&season, tally);
        let before = unit.standing_on(day);
        let what = enter.stage.map_or("check", Stage::word);
        let taken = Taken { on: enter.common.on, stage: enter.stage, rest: enter.rest, law: Law::Fates };
        let fits = before.after(tally, taken);
        let (_, full) = fits.map_err(|fault| explain(what, trial, unit, &before, tally, &fault))?;
        out.push(if enter.rest.is_some() { full } else { tally.clone() });
    }
    Ok(out)
}

fn unit_of<'a>(season: &'a Season<'_>, tally: &Tally) -> &'a Unit {
    let is_it = |unit: &&Unit| unit.arm == tally.arm && unit.replicate == tally.replicate;
    season.units.iter().find(is_it).expect("tallies are read against the same trial")
}

fn explain(
    what: &str,
    trial: &Trial,
    unit: &Unit,
    before: &Standing,
    tally: &Tally,
    fault: &FateFault,
) -> Failure {
    let place = unit.label(trial);
    let standing = format!(
        "of {} put in, {} were left at the last count ({} dead, {} lost before)",
        unit.started,
        before.base(),
        before.fates.dead.all(),
        before.fates.lost.all()
    );
    let failure = Failure::expected(format!("{what}: {place}: {fault}; {standing}"));
    match fault {
        FateFault::Sum { alive, base, .. }
            if tally.rooted.is_some() && u32::from(*alive) + u32::from(tally.rooted.unwrap_or(0)) == u32::from(*base) =>
        {
            failure.hint(format!(
                "alive counts rooted pieces too; for those without roots write green: {place}:rooted={},green={alive}",
                tally.rooted.unwrap_or(0)
            ))
        }
        FateFault::Sum { .. } => failure.hint("dead and lost count only those since the last count; alive all that live"),
        FateFault::Unaccounted { .. } => {
            failure.hint("say what became of the rest: --rest alive, --rest dead or --rest not-known")
        }
        FateFault::GreenOnly { green, alive } => failure.hint(format!(
            "those with roots as well: {place}:rooted={},green={green}; or what became of them: dead, lost, not-known",
            alive - green
        )),
        FateFault::RootsGone { short, .. } => {
            failure.hint(format!("correct an earlier count, or say what went, such as {place}:dead={short}"))
        }
        FateFault::TooMany { .. } => {
            failure.hint(format!("see what is known: propagule trial history {}", pasteable(&trial.code)))
        }
    }
}

/// An entry for an earlier day must leave the later ones possible.
pub(super) fn check_later(bench: &Bench, trial: &Trial, entry: &Entry) -> Result<(), Failure> {
    let known: Vec<u64> = bench.season(trial).faults.into_iter().map(|(number, _)| number).collect();
    let with = bench.entries().chain(std::iter::once((u64::MAX, entry)));
    let faults = Season::new(trial, with).faults;
    let Some((number, why)) = faults.into_iter().find(|(number, _)| !known.contains(number)) else {
        return Ok(());
    };
    Err(contradicted(bench, trial, number, &why))
}

/// The failure that an entry would make another one impossible.
pub(super) fn contradicted(bench: &Bench, trial: &Trial, number: u64, why: &str) -> Failure {
    let code = pasteable(&trial.code);
    let Some((_, other)) = bench.entries().find(|(other, _)| *other == number) else {
        return Failure::expected(format!(
            "this contradicts what is known of trial \"{}\": {why}",
            trial.code
        ))
        .hint(format!("see what was entered: propagule trial history {code}"));
    };
    Failure::expected(format!(
        "entry {number} ({} on {}) could then not be: {why}",
        other.what.word(),
        other.on
    ))
    .hint(format!("correct that one first: propagule trial correct {code} --entry {number}"))
}

/// Whatever was entered, the number to correct it by, and how the trial stands now.
fn report(bench: &Bench, trial: &Trial, number: u64, entry: &Entry) -> Reply {
    let season = bench.season(trial);
    let mut text = format!(
        "Saved as entry {number}: trial {}, {}, {}.\n",
        trial.code,
        what_words(trial, &entry.what),
        entry.on
    );
    if let What::Counted { tallies, .. } = &entry.what {
        for tally in tallies {
            let unit = unit_of(&season, tally);
            let _ = writeln!(text, "  {}: {}", unit.label(trial), standing_words(trial, unit));
        }
    }
    let open = pending(&season, trial, entry);
    if !open.is_empty() {
        let _ = writeln!(text, "Not counted yet: {}.", open.join(", "));
    }
    text.push_str(&undo::entry(&trial.code, number));
    let standings: Vec<_> = season
        .units
        .iter()
        .map(|unit| {
            let standing = unit.standing();
            let fates = standing.fates;
            json!({ "place": unit.label(trial), "started": unit.started, "alive": fates.alive(),
                "not_known": fates.not_known.all(), "dead": fates.dead.all(), "lost": fates.lost.all(),
                "left": fates.finished.all(), "rooted": standing.rooted(), "ever_rooted": standing.ever_rooted() })
        })
        .collect();
    Reply::report(
        text,
        json!({ "format": "propagule.entry/1", "entry": number, "saved": true, "trial": trial.code, "stands": standings, "not_counted_yet": open }),
    )
}

/// What an entry is, in the words of the trial's kind.
pub(super) fn what_words(trial: &Trial, what: &What) -> &'static str {
    match what {
        What::Counted { stage: Some(stage), .. } => KindWords::of_trial(trial).name(*stage),
        other => other.word(),
    }
}

/// Places that a count at a stage left out.
fn pending(season: &Season<'_>, trial: &Trial, entry: &Entry) -> Vec<String> {
    let What::Counted { stage: Some(stage), .. } = entry.what else { return Vec::new() };
    let open = |unit: &&Unit| {
        unit.standing().base() > 0 && unit.points.iter().all(|point| point.stage != Some(stage))
    };
    season.units.iter().filter(open).map(|unit| unit.label(trial).to_owned()).collect()
}

/// `of 4: 3 alive, 3 rooted; 1 dead`.
pub(super) fn standing_words(trial: &Trial, unit: &Unit) -> String {
    let said = KindWords::of_trial(trial);
    let standing = unit.standing();
    let fates = standing.fates;
    let mut living = vec![format!("{} alive", fates.alive())];
    let rooted = standing.rooted().filter(|_| fates.alive() > 0);
    living.extend(rooted.map(|rooted| format!("{rooted} of them {}", said.with)));
    let others = [
        (fates.not_known.all(), "not known"),
        (fates.dead.all(), "dead"),
        (fates.lost.all(), "lost"),
        (fates.finished.all(), "left as finished"),
        (fates.below.all(), "left below grade"),
    ];
    let others = others.iter().filter(|(count, _)| *count > 0).map(|(count, word)| format!("{count} {word}"));
    format!("of {}: {}", unit.started, living.into_iter().chain(others).collect::<Vec<_>>().join(", "))
}

/// Saves that suckers were looked for, and how many were removed.
pub(super) fn suckers(app: &App, code: &str, removed: &[String], common: Common) -> Result<Reply, Failure> {
    let mut counts = Vec::new();
    {
        let bench = app.bench();
        let trial = stuck(&bench, code)?;
        for text in removed {
            let read = read_removed(text, trial).map_err(|fault| failure("suckers", &fault))?;
            counts.push(read);
        }
    }
    simple(app, code, |trial| What::Suckers { trial, removed: counts }, common)
}

fn read_removed(text: &str, trial: &Trial) -> Result<(u8, u16), typed::TypedFault> {
    let wrong = |why: &str| typed::TypedFault::new(text, why).hint("write ARM=how many, such as A=3");
    let (label, count) = text.split_once('=').ok_or_else(|| wrong("it has no `=`"))?;
    let (arm, _) = trial.target(label.trim()).ok_or_else(|| wrong("the trial has no such arm"))?;
    let count = count.trim().parse().map_err(|_| wrong("it is not a whole number"))?;
    Ok((arm.number, count))
}

/// Saves that the wrap was cut.
pub(super) fn wrap_cut(app: &App, code: &str, common: Common) -> Result<Reply, Failure> {
    simple(app, code, |trial| What::WrapCut { trial }, common)
}

fn simple(
    app: &App,
    code: &str,
    what: impl FnOnce(String) -> What,
    common: Common,
) -> Result<Reply, Failure> {
    let mut bench = app.bench();
    let trial = match ready(&bench, code, &common)? {
        Ready::For(trial) => trial,
        Ready::Saved(reply) => return Ok(reply),
    };
    let entry = entry(what(trial.code.clone()), common);
    let number = bench.record(Event::Entered { entry: entry.clone() })?;
    Ok(report(&bench, &trial, number, &entry))
}

/// Saves a note about a trial or a spot.
pub(super) fn note(app: &App, subject: &str, common: Common) -> Result<Reply, Failure> {
    let mut bench = app.bench();
    if let Some(number) = sent_before(&bench, &common) {
        return Ok(already(number));
    }
    let spot = bench.spot(subject).map(|spot| spot.name.clone());
    let take_back = if spot.is_some() { undo::care } else { undo::entry };
    let subject = match spot {
        Some(name) => name,
        None => crate::app::trial::find(bench.trial(subject), subject, bench.trials())?.code.clone(),
    };
    let is_blank = |text: &String| text.trim().is_empty();
    if common.note.as_ref().is_none_or(is_blank) && common.files.iter().all(is_blank) {
        return Err(Failure::expected("there is nothing to note")
            .hint(format!("propagule note {} 'what you saw'", pasteable(&subject))));
    }
    let on = common.on;
    let number =
        bench.record(Event::Entered { entry: entry(What::Noted { subject: subject.clone() }, common) })?;
    Ok(Reply::report(
        format!(
            "Saved as entry {number}: a note on {subject}, {on}. It stays at home.\n{}",
            take_back(&subject, number)
        ),
        json!({ "format": "propagule.entry/1", "entry": number, "saved": true }),
    ))
}
