//! What is due.

use axum::Router;
use axum::http::header;
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use maud::{Markup, html};
use propagule_protocol::Date;

use crate::present::archive;
use crate::web::Web;
use crate::web::fields::Fields;
use crate::web::guard::SessionKind;
use crate::web::link;
use crate::web::problem::Turned;
use crate::web::shell;
use crate::web::shell::Room;
use crate::web::visit::Visit;
use propagule_answer::words::due as words;
use propagule_app as app;
use propagule_app::viewed;
use propagule_bench::due::agenda::Group;
use propagule_bench::due::{Agenda, Due, DueKind, State};

/// Lines that are shown before the rest is folded away.
const LINES: usize = 40;

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/today", get(today)).route("/today/bench.ics", get(calendar))
}

async fn today(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    let today = visit.today();
    let agenda = visit.view(move |app| viewed::agenda(app, today)).await?;
    let has_trials = visit.view(|app| Ok(viewed::has_trials(app))).await?;
    let kind = visit.session.kind;
    let owed = visit.view(app::archive::owed).await?;
    let body = html! {
        h1 { "Today, " (long(today)) }
        @if !has_trials { (beginning(kind)) }
        @else if fields.is_on("all") { (opened(&agenda, kind)) }
        @else { (folded(&agenda, kind)) }
        @if let Some(last) = owed.filter(|_| kind == SessionKind::Desk) {
            p class="soft" { (archive::is_owed(last.days_ago)) " " code { (archive::make(&last)) } }
        }
        @if !agenda.calendar().is_empty() { p { a href="/today/bench.ics" { "As a calendar file: now, and the coming 90 days" } } }
    };
    Ok(shell::page(&visit, Room::Today, "Today", &body))
}

/// What is near, and the rest in a line each.
fn folded(agenda: &Agenda, kind: SessionKind) -> Markup {
    let shown = agenda.folded(LINES);
    let codes = |state: State| agenda.of(state).map(|trial| trial.trial.as_str());
    let unpublished = agenda.unpublished().map(|trial| trial.trial.as_str());
    let folds = [
        words::late(codes(State::Late)),
        words::asleep(&agenda.asleep_by_year()),
        words::unpublished(unpublished),
    ];
    let nothing = shown.now.is_empty() && shown.soon.is_empty();
    let next = agenda.next().map(|due| (due, words::task(due), long(due.day)));
    html! {
        @if nothing { p { (words::nothing_due(next.as_ref().map(|(due, what, day)| (due.trial.as_str(), what.as_str(), day.as_str())))) } }
        (section("Now", &shown.now, agenda.as_of, kind, true))
        (section("Within a week", &shown.soon, agenda.as_of, kind, true))
        @if shown.more > 0 { p { a href="/today?all=yes" { (words::no_room(shown.more)) } } }
        @for fold in folds.iter().flatten() { p class="soft" { (fold) } }
        @if !agenda.trials.is_empty() { p { a href="/today?all=yes" { "Show all of it" } } }
    }
}

fn opened(agenda: &Agenda, kind: SessionKind) -> Markup {
    html! {
        p { a href="/today" { "Only what is near" } }
        @for (heading, state) in State::OPENED {
            (section(heading, &agenda.opened(state, None), agenda.as_of, kind, false))
        }
    }
}

fn section(heading: &str, groups: &[Group<'_>], today: Date, kind: SessionKind, is_folded: bool) -> Markup {
    html! { @if !groups.is_empty() {
        h2 { (heading) }
        @for group in groups {
            @let place = group.heading();
            @if !place.is_empty() { h3 { (place) } }
            ul class="list" {
                @for (trial, due) in &group.lines {
                    li { a class="row" href=(address(due, kind)) {
                        span class="lead" { (due.trial) ": " (words::task(due)) @if is_folded { (words::and_more(trial.others())) } } br;
                        (how_far(due.day, today))
                    } }
                }
            }
        }
    } }
}

fn how_far(day: Date, today: Date) -> Markup {
    let days = day.days_since(today);
    html! {
        span class="soft" { (long(day)) }
        @match days {
            0 => {},
            1 => span class="soft" { ", tomorrow" },
            2.. => span class="soft" { ", in " (days) " days" },
            -1 => { ", " span class="late" { "one day late" } },
            _ => { ", " span class="late" { (-days) " days late" } },
        }
    }
}

/// Where it is done.
fn address(due: &Due, kind: SessionKind) -> String {
    match due.kind {
        DueKind::Stick => link::trial(&due.trial, "/stick"),
        DueKind::Check => link::trial(&due.trial, "/count/check"),
        DueKind::Lift => link::trial(&due.trial, "/count/lift"),
        DueKind::Spring => link::trial(&due.trial, "/count/spring"),
        DueKind::WrapCut | DueKind::Suckers => link::trial(&due.trial, "/graft"),
        DueKind::PublishLift | DueKind::PublishRevision if kind == SessionKind::Desk => {
            format!("/publish/{}", link::part(&due.trial))
        }
        DueKind::PublishLift | DueKind::PublishRevision => link::trial(&due.trial, ""),
    }
}

fn beginning(kind: SessionKind) -> Markup {
    html! {
        p { "Nothing is on your bench yet." }
        @if kind == SessionKind::Desk {
            p { "Set up a trial before you cut: you see what its size can show, and where each pot stands. Or bring in last year's notes as a table." }
        }
        ul class="acts" {
            li { a class="button lead" href="/bench/new" { "Set up a trial or lot" } }
            li { a class="button" href="/bench/import" { "Bring in a table" } }
        }
    }
}

/// `26 November 2026`.
pub(super) fn long(day: Date) -> String {
    const MONTHS: [&str; 12] = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ];
    let month = MONTHS.get(usize::from(day.month()).wrapping_sub(1)).copied().unwrap_or_default();
    format!("{} {month} {}", day.day(), day.year())
}

async fn calendar(visit: Visit) -> Result<Response, Turned> {
    let today = visit.today();
    let text = visit.view(move |app| viewed::calendar(app, today)).await?;
    let headers = [
        (header::CONTENT_TYPE, "text/calendar; charset=utf-8"),
        (header::CONTENT_DISPOSITION, "attachment; filename=\"bench.ics\""),
    ];
    Ok((headers, text).into_response())
}
