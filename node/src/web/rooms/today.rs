//! What is due.

use axum::Router;
use axum::http::header;
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use maud::{Markup, html};
use propagule_protocol::Date;

use crate::web::Web;
use crate::web::fields::Fields;
use crate::web::guard::SessionKind;
use crate::web::link;
use crate::web::problem::Turned;
use crate::web::shell;
use crate::web::shell::Room;
use crate::web::visit::Visit;
use propagule_app as app;
use propagule_app::outcome::due::{DueLine, DueList, DueSection};
use propagule_app::viewed;
use propagule_bench::dates::MONTHS;
use propagule_bench::due::{Due, DueKind, State};
use propagule_present::outcome::{archive, due as present, said};
use propagule_present::words::due as words;

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/today", get(today)).route("/today/bench.ics", get(calendar))
}

async fn today(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    let (today, is_all) = (visit.today(), fields.is_on("all"));
    let list = visit.view(move |app| viewed::due(app, today, is_all)).await?;
    let has_trials = visit.view(|app| Ok(viewed::has_trials(app))).await?;
    let kind = visit.session.kind;
    let owed = visit.view(app::archive::owed).await?;
    let body = html! {
        h1 { "Today, " (long(today)) }
        @if !has_trials { (beginning(kind)) }
        @else if is_all { (opened(&list, kind)) }
        @else { (folded(&list, kind)) }
        @if let Some(last) = owed.filter(|_| kind == SessionKind::Desk) {
            p class="soft" { (archive::is_owed(last.days_ago)) " " code { (archive::make(&last)) } }
        }
        @if list.in_calendar > 0 { p { a href="/today/bench.ics" { "As a calendar file: now, and the coming 90 days" } } }
    };
    Ok(shell::page(&visit, Room::Today, "Today", &body))
}

/// What is near, and the rest in a line each.
fn folded(list: &DueList, kind: SessionKind) -> Markup {
    let heading = |state: State| if state == State::Soon { "Within a week" } else { present::state(state) };
    html! {
        @if list.shown.is_empty() { p { (present::nothing(list, long)) } }
        @for of_state in &list.shown { (section(heading(of_state.state), of_state, kind)) }
        @if list.more > 0 { p { a href="/today?all=yes" { (words::no_room(list.more)) } } }
        @for fold in present::fold_lines(&list.folds).iter().flatten() { p class="soft" { (fold) } }
        @if !list.due.is_empty() { p { a href="/today?all=yes" { "Show all of it" } } }
    }
}

fn opened(list: &DueList, kind: SessionKind) -> Markup {
    html! {
        p { a href="/today" { "Only what is near" } }
        @for of_state in &list.shown { (section(present::state(of_state.state), of_state, kind)) }
    }
}

fn section(heading: &str, of_state: &DueSection, kind: SessionKind) -> Markup {
    html! {
        h2 { (heading) }
        @for group in &of_state.groups {
            @let place = present::heading(group);
            @if !place.is_empty() { h3 { (place) } }
            ul class="list" {
                @for DueLine { due, in_days, others } in &group.lines {
                    li { a class="row" href=(address(due, kind)) {
                        span class="lead" { (due.trial) ": " (words::task(due.kind, due.of)) (words::and_more(*others)) } br;
                        (how_far(due.day, *in_days))
                    } }
                }
            }
        }
    }
}

fn how_far(day: Date, days: i32) -> Markup {
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
            li { a class="button lead" href="/bench/new" { "Set up a trial or batch" } }
            li { a class="button" href="/bench/import" { "Bring in a table" } }
        }
    }
}

/// `26 November 2026`.
pub(super) fn long(day: Date) -> String {
    let month = MONTHS.get(usize::from(day.month()).wrapping_sub(1)).copied().unwrap_or_default();
    format!("{} {month} {}", day.day(), day.year())
}

async fn calendar(visit: Visit) -> Result<Response, Turned> {
    let today = visit.today();
    let list = visit.view(move |app| viewed::due(app, today, false)).await?;
    let text = said::line(&list.calendar);
    let headers = [
        (header::CONTENT_TYPE, "text/calendar; charset=utf-8"),
        (header::CONTENT_DISPOSITION, "attachment; filename=\"bench.ics\""),
    ];
    Ok((headers, text).into_response())
}
