//! Trials that are over: nothing is due there any more, nothing is counted, and their results stand.

use std::fmt::Write;

use serde_json::json;

use super::entering::{check_day, check_later};
use super::{Closing, Common, DuePart, already, due, entry, fixing, history, sent_before};
use crate::trial::find;
use crate::{App, Reply, Report, undo};
use propagule_answer::words::counted;
use propagule_bench::due::State;
use propagule_bench::{Bench, Entry, Event, Fate, Season, Trial, What};
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
    let number = bench.record(Event::Entered { entry: entry.clone() })?;
    let text = format!(
        "Saved as entry {number}: trial {}, {}. Its results stand; nothing is due there any more.\n{}",
        trial.code,
        history::closed_line(&entry).unwrap_or_default(),
        undo::by(&["trial", "reopen", &trial.code])
    );
    Ok(Reply::report(
        text,
        json!({ "format": "propagule.closed/1", "closed": true, "trials": [trial.code], "entries": [number] }),
    ))
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
    let mut entries = Vec::new();
    let mut text = String::new();
    for sleeper in agenda.of(State::Asleep) {
        let Some(trial) = bench.trial(&sleeper.trial).cloned() else { continue };
        let left = left_on(&bench.season(&trial), common.on.middle());
        let _ = writeln!(
            text,
            "  {}  {}, put in {}, {} left",
            trial.code,
            trial.species,
            trial.started_on,
            counted(left, "piece", "pieces")
        );
        entries.push((trial.code.clone(), closed(&bench, &trial, closing, common.clone(), "--asleep")?));
    }
    let codes: Vec<String> = entries.iter().map(|(code, _)| code.clone()).collect();
    if codes.is_empty() {
        let json = json!({ "format": "propagule.closed/1", "closed": false, "trials": codes, "entries": [] });
        return Ok(Reply::report("No trial sleeps; nothing was closed.\n".to_owned(), json));
    }
    let many = counted(codes.len(), "trial sleeps", "trials sleep");
    if !confirmed {
        let json = json!({ "format": "propagule.closed/1", "closed": false, "trials": codes, "entries": [] });
        return Ok(Reply::Preview(Report { text: format!("{many}:\n{text}"), json }));
    }
    let events = entries.into_iter().map(|(_, entry)| Event::Entered { entry }).collect();
    let numbers = bench.record_each(events)?;
    let words: Vec<&str> = ["trial", "reopen"].into_iter().chain(codes.iter().map(String::as_str)).collect();
    let closed = counted(codes.len(), "trial is closed", "trials are closed");
    let text = format!("{closed}; the results stand:\n{text}{}", undo::by(&words));
    Ok(Reply::report(
        text,
        json!({ "format": "propagule.closed/1", "closed": true, "trials": codes, "entries": numbers }),
    ))
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
    let mut events = Vec::new();
    let mut text = String::new();
    let mut back = String::new();
    let mut reopened = Vec::new();
    for code in codes {
        let trial = find(bench.trial(code), code, bench.trials())?;
        let season = bench.season(trial);
        let Some((number, closed)) = season.closed() else {
            return Err(Fault::user("trial-not-closed").with("trial", &trial.code));
        };
        fixing::check(&bench, trial, number, None)?;
        let _ = writeln!(text, "Trial {} goes on: entry {number} is taken back.", trial.code);
        back.push_str(&close_again(&trial.code, closed));
        reopened.push((trial.code.clone(), number));
        events.push(Event::Corrected { target: number, entry: None });
    }
    bench.record_all(events)?;
    let (codes, entries): (Vec<_>, Vec<_>) = reopened.into_iter().unzip();
    Ok(Reply::report(
        text + &back,
        json!({ "format": "propagule.closed/1", "closed": false, "trials": codes, "entries": entries }),
    ))
}

/// How a trial is closed as it was.
fn close_again(code: &str, closed: &Entry) -> String {
    let What::Closed { because, rest, .. } = &closed.what else { return String::new() };
    let on = closed.on.to_string();
    let mut words = vec!["trial", "close", code];
    words.extend(because.iter().flat_map(|because| ["--because", because.as_str()]));
    words.extend(rest.iter().flat_map(|rest| ["--rest", word_of(*rest)]));
    words.extend(["--on", &on]);
    undo::by(&words)
}

/// How a fate is typed.
fn word_of(fate: Fate) -> &'static str {
    match fate {
        Fate::Dead => "dead",
        Fate::Lost => "lost",
        Fate::NotKnown => "not-known",
    }
}
