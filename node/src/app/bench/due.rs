//! What is due, as a list and as a calendar file.

use std::fmt::Write;

use propagule_protocol::Date;
use propagule_protocol::place::Hemisphere;
use serde_json::json;

use crate::answer::words::counted;
use crate::app::{App, Reply};
use crate::bench::due::{Due, DueKind, Published, of_trial};
use crate::bench::{Bench, Trial};
use crate::error::Failure;
use crate::paper::calendar;
use crate::paste::pasteable;

/// What is due, late things first.
pub(super) fn due(app: &App, as_of: Date) -> Result<Reply, Failure> {
    let mut all = Vec::new();
    {
        let bench = app.bench();
        for trial in bench.trials() {
            let published = published(app, trial)?;
            all.extend(of_trial(&bench.season(trial), hemisphere(&bench, trial), published));
        }
    }
    all.sort();
    let all = without_stale(&all, as_of);
    let mut text = String::new();
    for due in &all {
        let late = as_of.days_since(due.day);
        let late = if late > 0 { format!(" ({} late)", counted(late, "day", "days")) } else { String::new() };
        let _ = writeln!(text, "{}  {}: {}{late}", due.day, due.trial, due.kind.words());
    }
    if text.is_empty() {
        text.push_str("Nothing is due.\n");
    } else if let Some(first) = all.first() {
        let _ = writeln!(text, "\n{}", next_command(first));
    }
    let items: Vec<_> = all
        .iter()
        .map(|due| json!({ "day": due.day, "trial": due.trial, "kind": due.kind.name(), "words": due.kind.words() }))
        .collect();
    let ics = calendar::calendar(&all.iter().map(entry).collect::<Vec<_>>(), &stamp(app));
    Ok(Reply::report(
        text,
        json!({ "format": "propagule.due/1", "as_of": as_of, "due": items, "calendar": ics }),
    ))
}

/// Of what repeats, only the latest that is late: one look makes up for all that were missed.
fn without_stale(all: &[Due], as_of: Date) -> Vec<Due> {
    let is_stale = |due: &Due| {
        due.kind == DueKind::Suckers
            && due.day < as_of
            && all.iter().any(|other| {
                other.trial == due.trial
                    && other.kind == due.kind
                    && other.day > due.day
                    && other.day <= as_of
            })
    };
    all.iter().filter(|due| !is_stale(due)).cloned().collect()
}

fn next_command(due: &Due) -> String {
    let code = pasteable(&due.trial);
    match due.kind {
        DueKind::Stick => format!("propagule stick {code}"),
        DueKind::Check => format!("propagule check {code}"),
        DueKind::Lift => format!("propagule lift {code}"),
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

fn published(app: &App, trial: &Trial) -> Result<Published, Failure> {
    let Some(summary) = crate::app::publish::standing(app, trial)? else {
        return Ok(Published::default());
    };
    let has = |stage: fn(&propagule_protocol::StageCounts) -> bool| {
        summary.arms.iter().any(|arm| stage(&arm.stages))
    };
    Ok(Published {
        lift: has(|stages| stages.lift.is_some()),
        spring: has(|stages| stages.spring.is_some()),
        last: has(|stages| stages.last.is_some()),
    })
}

fn entry(due: &Due) -> calendar::Entry {
    calendar::Entry {
        uid: uid(due),
        day: due.day,
        summary: format!("{}: {}", due.trial, due.kind.words()),
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
