//! Trials that are over: nothing is due there any more, nothing is counted, and their results stand.

use super::entering::{check_day, check_later};
use super::{Closing, Common, DuePart, already, due, entry, fixing, sent_before};
use crate::outcome::Outcome;
use crate::outcome::closing::{Closed, ClosedHow, ClosedStep, Sleeper};
use crate::trial::find;
use crate::{App, Reply};
use propagule_bench::due::State;
use propagule_bench::{Bench, Entry, Event, Season, Trial, What};
use propagule_files::fault::Fault;
use propagule_files::paste::pasteable;

/// Refuses a count where a trial is over.
pub(super) fn check_open(bench: &Bench, trial: &Trial) -> Result<(), Fault> {
    let season = bench.season(trial);
    let Some((_, closed)) = season.closed() else { return Ok(()) };
    let code = &trial.code;
    Err(Fault::user("trial-closed-to-counts").with("code", code).with("on", closed.on))
}

/// Closes one trial.
pub(super) fn close(app: &App, code: &str, closing: &Closing, common: Common) -> Result<Reply, Fault> {
    let mut bench = app.bench();
    if let Some(number) = sent_before(&bench, &common) {
        return Ok(already(number));
    }
    let trial = find(bench.trial(code), code, bench.trials())?.clone();
    let entry = closed(&bench, &trial, closing, common, &pasteable(&trial.code))?;
    let how = ClosedHow::of(&entry).expect("the entry closes the trial");
    let number = bench.record(Event::Entered { entry })?;
    let step = ClosedStep::One { how };
    Ok(done(Closed { closed: true, trials: vec![trial.code], entries: vec![number], step }))
}

fn done(closed: Closed) -> Reply {
    Reply::done(Outcome::Closed(closed))
}

/// Closes every trial that sleeps, once the grower has seen which they are.
pub(super) fn close_asleep(
    app: &App,
    closing: &Closing,
    common: &Common,
    confirmed: bool,
) -> Result<Reply, Fault> {
    let agenda = due::agenda(app, app.clock().today_date(), &DuePart::default())?;
    let mut bench = app.bench();
    let (mut entries, mut sleepers) = (Vec::new(), Vec::new());
    for sleeper in agenda.of(State::Asleep) {
        let Some(trial) = bench.trial(&sleeper.trial) else { continue };
        sleepers.push(Sleeper {
            trial: trial.code.clone(),
            species: trial.species.clone(),
            started_on: trial.started_on,
            left: left_on(&bench.season(trial), common.on.middle()),
        });
        entries.push(closed(&bench, trial, closing, common.clone(), "--asleep")?);
    }
    if sleepers.is_empty() {
        return Ok(done(Closed::nothing()));
    }
    let trials = sleepers.iter().map(|sleeper| sleeper.trial.clone()).collect();
    if !confirmed {
        let step = ClosedStep::AsleepPreview { sleepers };
        let closed = Closed { closed: false, trials, entries: Vec::new(), step };
        return Ok(Reply::proposed(Outcome::Closed(closed)));
    }
    let events = entries.into_iter().map(|entry| Event::Entered { entry }).collect();
    let entries = bench.record_each(events)?;
    Ok(done(Closed { closed: true, trials, entries, step: ClosedStep::Asleep { sleepers } }))
}

/// The entry that closes a trial; refused where it is closed already, or where pieces are left and nobody said what
/// became of them. `what` is what the command closes.
fn closed(
    bench: &Bench,
    trial: &Trial,
    closing: &Closing,
    common: Common,
    what: &str,
) -> Result<Entry, Fault> {
    let season = bench.season(trial);
    let code = pasteable(&trial.code);
    if let Some((_, closed)) = season.closed() {
        return Err(Fault::user("trial-closed")
            .with("trial", &trial.code)
            .with("on", closed.on)
            .with("code", &code));
    }
    if !trial.is_planned {
        check_day(trial, &common.on)?;
    }
    let left = left_on(&season, common.on.middle());
    if left > 0 && closing.rest.is_none() {
        return Err(Fault::user("close-with-pieces-left")
            .with("trial", &trial.code)
            .with("left", left)
            .with("what", what)
            .in_field("rest"));
    }
    let rest = closing.rest.filter(|_| left > 0);
    let because = closing.because.map(|because| because.word().to_owned());
    let what = What::Closed { trial: trial.code.clone(), because, rest };
    let entry = entry(what, common);
    check_later(bench, trial, &entry)?;
    Ok(entry)
}

/// Pieces that a trial still has on a day; none before it was put in.
fn left_on(season: &Season<'_>, day: propagule_protocol::Date) -> u32 {
    if season.trial.is_planned {
        return 0;
    }
    season.units.iter().map(|unit| u32::from(unit.standing_on(day).base())).sum()
}

/// Takes the closing of trials back.
pub(super) fn reopen(app: &App, codes: &[String]) -> Result<Reply, Fault> {
    let mut bench = app.bench();
    let (mut events, mut trials, mut entries, mut were) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    for code in codes {
        let trial = find(bench.trial(code), code, bench.trials())?;
        let season = bench.season(trial);
        let Some((number, closed)) = season.closed() else {
            return Err(Fault::user("trial-not-closed").with("trial", &trial.code));
        };
        fixing::check(&bench, trial, number, None)?;
        trials.push(trial.code.clone());
        entries.push(number);
        were.extend(ClosedHow::of(closed));
        events.push(Event::Corrected { target: number, entry: None });
    }
    bench.record_all(events)?;
    Ok(done(Closed { closed: false, trials, entries, step: ClosedStep::Reopened { were } }))
}
