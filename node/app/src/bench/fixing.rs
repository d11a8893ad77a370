//! Corrections of entries: a new event says how one stands from now on; what was typed before is kept.

use super::counting::{self, Counted, place_of};
use super::entering::{check_day, contradicted};
use super::{Common, Enter, as_data, of_entry, repeated, said};
use crate::outcome::Outcome;
use crate::outcome::entry::{Corrected, EntryCame, EntryOutcome, Mended, NumberCorrected};
use crate::outcome::history::TrialLabels;
use crate::outcome::said::Said;
use crate::outcome::undo::{EntryLine, Undo};
use crate::{App, Reply};
use propagule_bench::dates::When;
use propagule_bench::fates::Taken;
use propagule_bench::typed::tally::PlaceCount;
use propagule_bench::{Bench, Entry, Event, Season, State, Tally, Trial, What};
use propagule_files::fault::Fault;

/// What is to be different about an entry.
pub(super) struct Fix {
    pub(super) counts: Vec<PlaceCount>,
    pub(super) on: Option<When>,
    pub(super) take_back: bool,
}

/// Corrects an entry of a trial, or takes it back.
pub(super) fn entry(app: &App, code: &str, number: u64, fix: Fix) -> Result<Reply, Fault> {
    let mut bench = app.bench();
    let trial = crate::trial::find(bench.trial(code), code, bench.trials())?.clone();
    mend(&mut bench, &trial, number, fix)
}

/// The last entry of a trial.
pub(super) fn last_of_trial(bench: &Bench, trial: &Trial) -> Result<u64, Fault> {
    last_of(bench, |entry| entry.what.trial() == Some(&trial.code))
        .ok_or_else(|| Fault::user("trial-without-entries").with("trial", &trial.code))
}

/// The last entry of the home, with its trial.
pub(super) fn last_of_home(bench: &Bench) -> Result<(&Trial, u64), Fault> {
    let number = last_of(bench, |_| true).ok_or_else(nothing_yet)?;
    let code = bench.entries().find(|(found, _)| *found == number).and_then(|(_, entry)| entry.what.trial());
    match code.and_then(|code| bench.trial(code)) {
        Some(trial) => Ok((trial, number)),
        None => Err(Fault::user("last-entry-not-of-trial").with("number", number)),
    }
}

fn last_of(bench: &Bench, belongs: impl Fn(&Entry) -> bool) -> Option<u64> {
    bench.entries().filter(|(_, entry)| belongs(entry)).map(|(number, _)| number).max()
}

fn nothing_yet() -> Fault {
    Fault::user("home-without-entries")
}

fn mend(bench: &mut Bench, trial: &Trial, number: u64, fix: Fix) -> Result<Reply, Fault> {
    let before = bench.entries().find(|(found, _)| *found == number).map(|(_, entry)| entry.clone());
    let Some(before) = before.filter(|entry| entry.what.trial() == Some(trial.code.as_str())) else {
        return Err(Fault::user("entry-unknown").with("trial", &trial.code).with("number", number));
    };
    let (after, counted) = if fix.take_back {
        (None, Vec::new())
    } else {
        let (after, counted) = corrected(bench, trial, number, &before, fix)?;
        (Some(after), counted)
    };
    if after.as_ref() == Some(&before) {
        return Err(Fault::user("entry-stands-already").with("number", number));
    }
    if let Some(after) = &after {
        check_day(trial, &after.on)?;
    }
    check(bench, trial, number, after.as_ref())?;
    let corrected = changes(&repeated::without(bench, trial, number), &before, &counted);
    let correction = bench.record(Event::Corrected { target: number, entry: after.clone() })?;
    let mended = Mended {
        trial: trial.code.clone(),
        kind: trial.kind(),
        taken_back: after.is_none(),
        correction,
        corrected: corrected.into_iter().map(Said::NumberCorrected).collect(),
        stands: said::stands(&bench.season(trial), trial),
    };
    let came = match after {
        Some(now) => EntryCame::Corrected(Box::new(Corrected { now, mended })),
        None => EntryCame::TakenBack(Box::new(mended)),
    };
    Ok(of_entry(EntryOutcome::saved(number, came)))
}

/// The entry with the counts of the named places replaced, and another day where one is given.
fn corrected(
    bench: &Bench,
    trial: &Trial,
    number: u64,
    before: &Entry,
    fix: Fix,
) -> Result<(Entry, Vec<Counted>), Fault> {
    let mut after = before.clone();
    after.on = fix.on.unwrap_or(before.on);
    if fix.counts.is_empty() {
        return Ok((after, Vec::new()));
    }
    let What::Counted { stage, tallies, .. } = &mut after.what else {
        return Err(Fault::user("entry-without-counts").with("what", before.what.word()));
    };
    let enter = Enter {
        trial: trial.code.clone(),
        stage: *stage,
        counts: fix.counts,
        rest: None,
        is_blind: false,
        common: Common::on(after.on),
    };
    let given = counting::given(trial, &enter)?;
    let season = repeated::without(bench, trial, number);
    let counted = counting::settled(&season, &given, &enter)?;
    for Counted { tally, .. } in &counted {
        let same = |other: &Tally| other.arm == tally.arm && other.replicate == tally.replicate;
        match tallies.iter_mut().find(|other| same(other)) {
            Some(old) => *old = tally.clone(),
            None => tallies.push(tally.clone()),
        }
    }
    Ok((after, counted))
}

/// What is different now, place by place.
fn changes(season: &Season<'_>, before: &Entry, counted: &[Counted]) -> Vec<NumberCorrected> {
    let What::Counted { stage, tallies, law, .. } = &before.what else { return Vec::new() };
    let taken = Taken { on: before.on, stage: *stage, rest: None, law: *law };
    let kind = season.trial.kind();
    let mut all = Vec::new();
    for now in counted {
        let place = place_of(season.trial, &now.tally);
        let same = |other: &&Tally| other.arm == now.tally.arm && other.replicate == now.tally.replicate;
        let then = tallies.iter().find(same).and_then(|then| Some(now.before.after(then, taken).ok()?.1));
        let then = then.unwrap_or_default();
        let numbers = [
            (then.alive, now.full.alive, State::Alive),
            (then.rooted, now.full.rooted, State::Rooted),
            (then.dead, now.full.dead, State::Dead),
            (then.lost, now.full.lost, State::Lost),
        ];
        // Who died or was lost follows from a changed number of living ones.
        let is_told = |of: State| then.alive == now.full.alive || matches!(of, State::Alive | State::Rooted);
        let differing = numbers.into_iter().filter(|(then, now, of)| then != now && is_told(*of));
        all.extend(differing.map(|(then, now, of)| NumberCorrected {
            place: place.clone(),
            of,
            kind,
            then,
            now,
        }));
    }
    all
}

/// What follows must still be possible.
pub(super) fn check(bench: &Bench, trial: &Trial, number: u64, after: Option<&Entry>) -> Result<(), Fault> {
    let known: Vec<u64> = bench.season(trial).faults.into_iter().map(|(number, _)| number).collect();
    let others = bench.entries().filter(|(other, _)| *other != number);
    let all: Vec<(u64, &Entry)> = others.chain(after.map(|entry| (number, entry))).collect();
    let faults = Season::new(trial, all.into_iter()).faults;
    match faults.into_iter().find(|(found, _)| *found == number || !known.contains(found)) {
        None => Ok(()),
        Some((found, why)) if found == number => Err(Fault::user("entry-not-correctable")
            .with("number", number)
            .with("kind", trial.kind().word())
            .with("fault", as_data(&why))
            .with("trial", &trial.code)),
        Some((found, why)) => Err(contradicted(bench, trial, found, &why)),
    }
}

/// Takes back the last entry of the home once that is agreed to; before, says which it is.
pub(super) fn undo(app: &App, is_agreed: bool) -> Result<Reply, Fault> {
    let (number, entry, trial) = {
        let bench = app.bench();
        let number = last_of(&bench, |_| true).ok_or_else(nothing_yet)?;
        let (_, entry) = bench.entries().find(|(found, _)| *found == number).expect("it was just found");
        let trial = entry.what.trial().and_then(|code| bench.trial(code)).cloned();
        (number, entry.clone(), trial)
    };
    let says = Said::Entered(Box::new(line(trial.as_ref(), &entry)));
    let undo = Outcome::Undo(Undo { entry: number, says, taken_back: is_agreed });
    if !is_agreed {
        return Ok(Reply::proposed(undo));
    }
    let spot = match &entry.what {
        What::Cared { spot, .. } => Some(spot.clone()),
        What::Noted { subject } if trial.is_none() => Some(subject.clone()),
        _ => None,
    };
    let fix = Fix { counts: Vec::new(), on: None, take_back: true };
    let reply = match (spot, trial) {
        (Some(spot), _) => super::spots::take_back(app, &spot, number)?,
        (None, Some(trial)) => self::entry(app, &trial.code, number, fix)?,
        (None, None) => return Err(nothing_yet()),
    };
    Ok(match reply {
        Reply::Done(by) => Reply::Followed { first: Box::new(undo), by },
        other => other,
    })
}

/// Takes an entry of a trial or a spot back; of a spot where no trial has that code.
pub(super) fn undo_of(app: &App, subject: &str, entry: Option<u64>) -> Result<Reply, Fault> {
    let of_spot = {
        let bench = app.bench();
        let spot = bench.spot(subject).map(|spot| spot.name.clone());
        spot.filter(|_| bench.trial(subject).is_none())
    };
    if let Some(spot) = of_spot {
        let last = || super::spots::last_of(&app.bench(), &spot);
        let number =
            entry.or_else(last).ok_or_else(|| Fault::user("spot-without-entries").with("spot", &spot))?;
        return super::spots::take_back(app, &spot, number);
    }
    let (code, number) = {
        let bench = app.bench();
        let trial = crate::trial::find(bench.trial(subject), subject, bench.trials())?;
        (trial.code.clone(), entry.map_or_else(|| last_of_trial(&bench, trial), Ok)?)
    };
    self::entry(app, &code, number, Fix { counts: Vec::new(), on: None, take_back: true })
}

/// An entry with what has to be known to tell it in a line.
fn line(trial: Option<&Trial>, entry: &Entry) -> EntryLine {
    EntryLine { of: trial.map(TrialLabels::of), entry: entry.clone() }
}
