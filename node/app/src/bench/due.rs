//! What is due, as a list and as a calendar file.

use std::fmt::Write;

use propagule_protocol::Date;
use propagule_protocol::place::Hemisphere;
use serde_json::json;

use super::request::DuePart;
use super::spots;
use crate::paper::calendar;
use crate::{App, Reply};
use propagule_answer::words::due as words;
use propagule_answer::words::kind::KindWords;
use propagule_bench::due::agenda::{Group, Standpoint};
use propagule_bench::due::{Agenda, Due, DueKind, Published, State, TrialDue, of_trial};
use propagule_bench::{Bench, Season, Stage, Trial};
use propagule_files::fault::Fault;
use propagule_files::paste::pasteable;

/// Lines that a screen holds.
const LINES: usize = 40;

/// All that is due, or what is due at one spot or for one trial.
pub(crate) fn agenda(app: &App, as_of: Date, part: &DuePart) -> Result<Agenda, Fault> {
    let is_publishing = publishes(app)?;
    let bench = app.bench();
    let spot = part.spot.as_deref().map(|name| spots::find(&bench, name)).transpose()?;
    let trials: Vec<&Trial> = match &part.trial {
        Some(code) => vec![crate::trial::find(bench.trial(code), code, bench.trials())?],
        None => bench.trials().collect(),
    };
    let mut all = Vec::new();
    for trial in trials {
        let season = bench.season(trial);
        let at = standpoint(&bench, &season, as_of);
        let is_elsewhere = |spot: &&propagule_bench::spot::Spot| {
            at.spot.as_ref().is_none_or(|on| !on.eq_ignore_ascii_case(&spot.name))
        };
        if spot.as_ref().is_some_and(is_elsewhere) {
            continue;
        }
        let hemisphere = hemisphere(&bench, trial);
        let published = if is_publishing && !trial.is_private { Some(published(app, trial)?) } else { None };
        let tasks = of_trial(&season, hemisphere, published);
        all.extend(TrialDue::of(&season, tasks, at, as_of, hemisphere));
    }
    Ok(Agenda::new(as_of, all))
}

/// Whether results are asked for: the grower chose so, or has published before and did not choose otherwise.
pub(crate) fn publishes(app: &App) -> Result<bool, Fault> {
    let chosen = app.bench().publishing();
    chosen.map_or_else(|| has_published(app), Ok)
}

/// Whether any result was ever signed with a key of this home.
pub(crate) fn has_published(app: &App) -> Result<bool, Fault> {
    for key in app.keys().public() {
        if !app.store.summaries_signed_by(&key)?.is_empty() {
            return Ok(true);
        }
    }
    Ok(false)
}

fn standpoint(bench: &Bench, season: &Season<'_>, as_of: Date) -> Standpoint {
    let mut places = bench.places().map(|(name, _)| name.as_str());
    let only = places.next().filter(|_| places.next().is_none());
    let place = season.trial.place.as_deref().or(only).map(str::to_owned);
    let spot = season.trial.arms.iter().find_map(|arm| bench.spot_of(season, arm.number, as_of));
    Standpoint { place, spot }
}

/// What is due: what is near, and the rest in a line each, or all of it.
pub(super) fn due(app: &App, as_of: Date, part: &DuePart) -> Result<Reply, Fault> {
    let agenda = agenda(app, as_of, part)?;
    let text = if part.is_open() { opened(&agenda, part) } else { folded(&agenda) };
    let belongs = |due: &Due| part.until.is_none_or(|until| due.day <= until);
    let items: Vec<_> = agenda
        .tasks()
        .into_iter()
        .filter(|(_, _, due)| belongs(due))
        .map(|(trial, state, due)| {
            json!({ "day": due.day, "trial": due.trial, "kind": due.kind.name(), "words": words::task(due),
                "state": state.name(), "place": trial.place, "spot": trial.spot })
        })
        .collect();
    let ics = calendar_text(app, &agenda);
    Ok(Reply::report(
        text,
        json!({ "format": "propagule.due/1", "as_of": as_of, "due": items, "calendar": ics }),
    ))
}

/// The calendar file.
pub(crate) fn calendar_text(app: &App, agenda: &Agenda) -> String {
    let entries: Vec<_> = agenda.calendar().into_iter().map(entry).collect();
    calendar::calendar(&entries, &stamp(app))
}

fn folded(agenda: &Agenda) -> String {
    let folds = folds(agenda);
    // What had no room, and the next command behind a blank line; a fold may take two lines of a narrow screen.
    let shown = agenda.folded(LINES - 3 - 2 * folds.lines().count());
    let mut text = String::new();
    write_groups(&mut text, "Now", &shown.now, agenda, true);
    write_groups(&mut text, "Soon", &shown.soon, agenda, true);
    if shown.more > 0 {
        let _ = writeln!(text, "{}: propagule due --all", words::no_room(shown.more));
    }
    let first = shown.now.iter().chain(&shown.soon).flat_map(|group| &group.lines).next();
    if text.is_empty() {
        let next = agenda.next().map(|due| (due, words::task(due), due.day.to_string()));
        let next = next.as_ref().map(|(due, what, day)| (due.trial.as_str(), what.as_str(), day.as_str()));
        let _ = writeln!(text, "{}", words::nothing_due(next));
    }
    text.push_str(&folds);
    if let Some((_, due)) = first {
        let _ = writeln!(text, "\n{}", next_command(due));
    }
    text
}

/// What is folded away, in a line or two each.
fn folds(agenda: &Agenda) -> String {
    let mut text = String::new();
    let codes = |trial: &'_ TrialDue| trial.trial.clone();
    let late: Vec<String> = agenda.of(State::Late).map(codes).collect();
    if let Some(line) = words::late(late.iter().map(String::as_str)) {
        let _ = writeln!(text, "{line}");
    }
    if let Some(line) = words::asleep(&agenda.asleep_by_year()) {
        let _ = writeln!(text, "{line}\n  see them: propagule due --all");
        text.push_str("  close them: propagule trial close --asleep --rest not-known\n");
    }
    let unpublished: Vec<String> = agenda.unpublished().map(codes).collect();
    if let Some(line) = words::unpublished(unpublished.iter().map(String::as_str)) {
        let _ = writeln!(text, "{line}");
    }
    text
}

fn opened(agenda: &Agenda, part: &DuePart) -> String {
    let mut text = String::new();
    for (heading, state) in State::OPENED {
        write_groups(&mut text, heading, &agenda.opened(state, part.until), agenda, false);
    }
    if text.is_empty() {
        let _ = writeln!(text, "{}", words::nothing_due(None));
    }
    text
}

fn write_groups(text: &mut String, heading: &str, groups: &[Group<'_>], agenda: &Agenda, is_folded: bool) {
    if groups.is_empty() {
        return;
    }
    let _ = writeln!(text, "{heading}");
    for group in groups {
        let place = group.heading();
        let indent = if place.is_empty() { "  " } else { "    " };
        if !place.is_empty() {
            let _ = writeln!(text, "  {place}");
        }
        for (trial, due) in &group.lines {
            let more = if is_folded { words::and_more(trial.others()) } else { String::new() };
            let far = words::how_far(due.day.days_since(agenda.as_of));
            let _ = writeln!(text, "{indent}{}  {}: {}{far}{more}", due.day, due.trial, words::task(due));
        }
    }
}

fn next_command(due: &Due) -> String {
    let (code, said) = (pasteable(&due.trial), KindWords::of(due.of));
    match due.kind {
        DueKind::Stick => format!("propagule {} {code}", said.start_command),
        DueKind::Check => format!("propagule check {code}"),
        DueKind::Lift => format!("propagule {} {code}", said.command(Stage::Lift)),
        DueKind::WrapCut => format!("propagule check {code} --wrap-cut"),
        DueKind::Suckers => format!("propagule check {code} --suckers"),
        DueKind::Spring => format!("propagule spring {code}"),
        DueKind::PublishLift | DueKind::PublishRevision => format!("propagule publish {code}"),
    }
}

fn hemisphere(bench: &Bench, trial: &Trial) -> Hemisphere {
    let named = trial.place.as_deref().and_then(|name| bench.place(name));
    let place = named.or_else(|| bench.places().next().map(|(_, place)| place));
    place.map_or(Hemisphere::North, |place| place.hemisphere)
}

fn published(app: &App, trial: &Trial) -> Result<Published, Fault> {
    let Some(summary) = crate::publish::standing(app, trial)? else {
        return Ok(Published::default());
    };
    let has = |stage: fn(&propagule_protocol::StageCounts) -> bool| {
        summary.arms.iter().any(|arm| stage(&arm.stages))
    };
    Ok(Published {
        series: true,
        lift: has(|stages| stages.lift.is_some()),
        season: has(|stages| stages.season.is_some()),
        spring: has(|stages| stages.spring.is_some()),
        last: has(|stages| stages.last.is_some()),
    })
}

fn entry(due: &Due) -> calendar::Entry {
    calendar::Entry {
        uid: uid(due),
        day: due.day,
        summary: format!("{}: {}", due.trial, words::task(due)),
        description: next_command(due),
        alarm: matches!(due.kind, DueKind::Lift | DueKind::Spring),
    }
}

/// The same for what is due once, so that a calendar moves it when its day changes.
fn uid(due: &Due) -> String {
    let name = due.kind.name();
    if due.kind == DueKind::Suckers {
        format!("{}-{name}-{}@propagule", due.trial, due.day)
    } else {
        format!("{}-{name}@propagule", due.trial)
    }
}

/// `20260612T101500Z`.
fn stamp(app: &App) -> String {
    let now = app.clock().now().to_string();
    let plain: String =
        now.split('.').next().unwrap_or_default().chars().filter(|c| !"-:Z".contains(*c)).collect();
    format!("{plain}Z")
}
