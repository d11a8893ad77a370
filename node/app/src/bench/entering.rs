//! Counts, looks, notes: checked against everything known before they are saved.

use super::counting::{self, Counted};
use super::repeated::{self, Found};
use super::said::Saved;
use super::{
    Common, Enter, Ready, already, as_data, asking, entry, of_entry, ready, said, sent_before, stuck,
};
use crate::outcome::entry::{EntryCame, EntryOutcome, Noted};
use crate::outcome::take_back::TakeBack;
use crate::{App, Reply};
use propagule_bench::dates::When;
use propagule_bench::{Bench, Entry, Event, Law, Season, SeasonFault, Tally, Trial, What};
use propagule_files::fault::Fault;

/// Saves what was counted at a check or a stage, or that somebody looked.
pub(super) fn enter(app: &App, enter: &Enter) -> Result<Reply, Fault> {
    let mut bench = app.bench();
    let trial = match ready(&bench, &enter.trial, &enter.common)? {
        Ready::For(trial) => trial,
        Ready::Saved(reply) => return Ok(reply),
    };
    let mut counts = counting::given(&trial, enter)?;
    if counts.is_empty() {
        return looked(&mut bench, &trial, enter);
    }
    let (target, season) = match repeated::counts(&bench, &trial, &mut counts, enter)? {
        Found::Same(number) => return Ok(repeated::already_in(number, enter.common.on)),
        Found::Nothing => (None, bench.season(&trial)),
        Found::Replaced(number, before) => {
            (Some((number, *before)), repeated::without(&bench, &trial, number))
        }
    };
    let counted = counting::settled(&season, &counts, enter)?;
    let tallies: Vec<Tally> = counted.iter().map(|counted| counted.tally.clone()).collect();
    if let Some((number, before)) = target {
        asking::check_gone(&trial, enter, &counted)?;
        return replace(&mut bench, &trial, enter, number, before, tallies, &counted);
    }
    let what = What::Counted {
        trial: trial.code.clone(),
        stage: enter.stage,
        tallies,
        is_blind: enter.is_blind,
        law: Law::Fates,
    };
    let entry = entry(what, enter.common.clone());
    // What cannot be is refused before it is asked whether it is so.
    check_later(&bench, &trial, &entry)?;
    asking::check_order(&bench, &trial, &enter.common)?;
    asking::check_gone(&trial, enter, &counted)?;
    let number = bench.record(Event::Entered { entry: entry.clone() })?;
    Ok(saved(&bench, &trial, number, &entry, &counted))
}

/// Nothing is counted: somebody looked.
fn looked(bench: &mut Bench, trial: &Trial, enter: &Enter) -> Result<Reply, Fault> {
    if let Some(stage) = enter.stage {
        return Err(Fault::user("nothing-counted").with("stage", stage.word()).with("trial", &trial.code));
    }
    if let Found::Same(number) = repeated::looked(bench, trial, &enter.common)? {
        return Ok(repeated::already_in(number, enter.common.on));
    }
    asking::check_order(bench, trial, &enter.common)?;
    let entry = entry(What::Looked { trial: trial.code.clone() }, enter.common.clone());
    let number = bench.record(Event::Entered { entry: entry.clone() })?;
    Ok(saved(bench, trial, number, &entry, &[]))
}

/// Puts counts in the place of those of the same day; places that are not named stay as that entry has them.
fn replace(
    bench: &mut Bench,
    trial: &Trial,
    enter: &Enter,
    target: u64,
    before: Entry,
    new: Vec<Tally>,
    counted: &[Counted],
) -> Result<Reply, Fault> {
    let mut after = before;
    if let What::Counted { tallies, is_blind, .. } = &mut after.what {
        tallies.retain(|old| !new.iter().any(|new| new.arm == old.arm && new.replicate == old.replicate));
        tallies.extend(new);
        *is_blind |= enter.is_blind;
    }
    after.note = enter.common.note.clone().or(after.note);
    after.files.extend(enter.common.files.iter().cloned());
    super::fixing::check(bench, trial, target, Some(&after))?;
    let number = bench.record(Event::Corrected { target, entry: Some(after.clone()) })?;
    let saved = Saved { number: target, entry: &after, correction: Some(number), counted };
    let came = said::came(&bench.season(trial), trial, &saved);
    Ok(of_entry(EntryOutcome::saved(target, came)))
}

/// Nothing happens before the pieces are put in.
pub(super) fn check_day(trial: &Trial, on: &When) -> Result<(), Fault> {
    if on.last >= trial.started_on.first {
        return Ok(());
    }
    Err(Fault::user("day-before-start")
        .with("on", on)
        .with("trial", &trial.code)
        .with("started_on", trial.started_on)
        .in_field("on"))
}

/// An entry for an earlier day must leave the later ones possible.
pub(super) fn check_later(bench: &Bench, trial: &Trial, entry: &Entry) -> Result<(), Fault> {
    let known: Vec<u64> = bench.season(trial).faults.into_iter().map(|(number, _)| number).collect();
    let with = bench.entries().chain(std::iter::once((u64::MAX, entry)));
    let faults = Season::new(trial, with).faults;
    let Some((number, why)) = faults.into_iter().find(|(number, _)| !known.contains(number)) else {
        return Ok(());
    };
    Err(contradicted(bench, trial, number, &why))
}

/// The failure that an entry would make another one impossible.
pub(super) fn contradicted(bench: &Bench, trial: &Trial, number: u64, why: &SeasonFault) -> Fault {
    let Some((_, other)) = bench.entries().find(|(other, _)| *other == number) else {
        return Fault::user("entry-contradicts-season")
            .with("trial", &trial.code)
            .with("kind", trial.kind().word())
            .with("fault", as_data(why));
    };
    Fault::user("entry-contradicts-later")
        .with("number", number)
        .with("what", other.what.word())
        .with("on", other.on)
        .with("trial", &trial.code)
        .with("kind", trial.kind().word())
        .with("fault", as_data(why))
}

/// Whatever was entered, and how the trial stands now.
fn saved(bench: &Bench, trial: &Trial, number: u64, entry: &Entry, counted: &[Counted]) -> Reply {
    let saved = Saved { number, entry, correction: None, counted };
    of_entry(EntryOutcome::saved(number, said::came(&bench.season(trial), trial, &saved)))
}

/// Saves that suckers were looked for, and how many were removed.
pub(super) fn suckers(
    app: &App,
    code: &str,
    removed: Vec<(u8, u16)>,
    common: Common,
) -> Result<Reply, Fault> {
    {
        let bench = app.bench();
        let trial = stuck(&bench, code)?;
        if let Some((arm, _)) = removed.iter().find(|(arm, _)| trial.arm(*arm).is_none()) {
            return Err(Fault::user("place-gone").with("trial", &trial.code).with("text", arm));
        }
    }
    simple(app, code, |trial| What::Suckers { trial, removed }, common)
}

/// Saves that the wrap was cut.
pub(super) fn wrap_cut(app: &App, code: &str, common: Common) -> Result<Reply, Fault> {
    simple(app, code, |trial| What::WrapCut { trial }, common)
}

fn simple(app: &App, code: &str, what: impl FnOnce(String) -> What, common: Common) -> Result<Reply, Fault> {
    let mut bench = app.bench();
    let trial = match ready(&bench, code, &common)? {
        Ready::For(trial) => trial,
        Ready::Saved(reply) => return Ok(reply),
    };
    let entry = entry(what(trial.code.clone()), common);
    let number = bench.record(Event::Entered { entry: entry.clone() })?;
    Ok(saved(&bench, &trial, number, &entry, &[]))
}

/// Saves a note about a trial or a spot.
pub(super) fn note(app: &App, subject: &str, common: Common) -> Result<Reply, Fault> {
    let mut bench = app.bench();
    if let Some(number) = sent_before(&bench, &common) {
        return Ok(already(number));
    }
    let spot = bench.spot(subject).map(|spot| spot.name.clone());
    let is_of_spot = spot.is_some();
    let subject = match spot {
        Some(name) => name,
        None => crate::trial::find(bench.trial(subject), subject, bench.trials())?.code.clone(),
    };
    let is_blank = |text: &String| text.trim().is_empty();
    if common.note.as_ref().is_none_or(is_blank) && common.files.iter().all(is_blank) {
        return Err(Fault::user("note-empty").with("subject", &subject));
    }
    let on = common.on;
    let number =
        bench.record(Event::Entered { entry: entry(What::Noted { subject: subject.clone() }, common) })?;
    let take_back = if is_of_spot {
        TakeBack::Care { spot: subject.clone(), entry: number }
    } else {
        TakeBack::entry(&subject, number)
    };
    Ok(of_entry(EntryOutcome::saved(number, EntryCame::Noted(Noted { subject, on, take_back }))))
}
