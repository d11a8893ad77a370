//! What is due.

use axum::Router;
use axum::http::header;
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use maud::{Markup, html};
use propagule_protocol::Date;
use serde::Deserialize;

use crate::app::{BenchRequest, viewed};
use crate::web::Web;
use crate::web::guard::SessionKind;
use crate::web::link;
use crate::web::problem::Turned;
use crate::web::shell::{self, Room};
use crate::web::visit::Visit;

/// Days that are shown ahead before the rest is folded away.
const SOON: i32 = 28;

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/today", get(today)).route("/today/bench.ics", get(calendar))
}

#[derive(Debug, Deserialize)]
struct Item {
    day: Date,
    trial: String,
    kind: String,
    words: String,
}

async fn today(visit: Visit) -> Result<Response, Turned> {
    let today = visit.today();
    let report = visit.bench(BenchRequest::Due { as_of: today }).await?;
    let items: Vec<Item> = serde_json::from_value(report.json["due"].clone()).unwrap_or_default();
    let has_trials = visit.view(|app| viewed::trials(app, 0, 1)).await?.total > 0;
    let kind = visit.session.kind;
    let part = |from: i32, to: i32| -> Vec<&Item> {
        items.iter().filter(|item| (from..=to).contains(&item.day.days_since(today))).collect()
    };
    let later = part(SOON + 1, i32::MAX);
    let body = html! {
        h1 { "Today, " (long(today)) }
        @if !has_trials { (beginning(kind)) }
        @else if items.is_empty() { p { "Nothing is due." } }
        (section("Late", &part(i32::MIN, -1), today, kind))
        (section("Today", &part(0, 0), today, kind))
        (section("In the next four weeks", &part(1, SOON), today, kind))
        @if !later.is_empty() {
            details { summary { "Later (" (later.len()) ")" } (list(&later, today, kind)) }
        }
        @if !items.is_empty() { p { a href="/today/bench.ics" { "All of it as a calendar file" } } }
    };
    Ok(shell::page(&visit, Room::Today, "Today", &body))
}

fn section(heading: &str, items: &[&Item], today: Date, kind: SessionKind) -> Markup {
    html! { @if !items.is_empty() { h2 { (heading) } (list(items, today, kind)) } }
}

fn list(items: &[&Item], today: Date, kind: SessionKind) -> Markup {
    html! {
        ul class="list" {
            @for item in items {
                li { a class="row" href=(address(item, kind)) {
                    span class="lead" { (item.trial) ": " (item.words) } br;
                    (how_far(item.day, today))
                } }
            }
        }
    }
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
fn address(item: &Item, kind: SessionKind) -> String {
    match item.kind.as_str() {
        "stick" => link::trial(&item.trial, "/stick"),
        "check" => link::trial(&item.trial, "/count/check"),
        "lift" => link::trial(&item.trial, "/count/lift"),
        "season" => link::trial(&item.trial, "/count/season"),
        "spring" => link::trial(&item.trial, "/count/spring"),
        "wrap-cut" | "suckers" => link::trial(&item.trial, "/graft"),
        "publish-lift" | "publish-revision" if kind == SessionKind::Desk => {
            format!("/publish/{}", link::part(&item.trial))
        }
        _ => link::trial(&item.trial, ""),
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
    let report = visit.bench(BenchRequest::Due { as_of: visit.today() }).await?;
    let text = report.json["calendar"].as_str().unwrap_or_default().to_owned();
    let headers = [
        (header::CONTENT_TYPE, "text/calendar; charset=utf-8"),
        (header::CONTENT_DISPOSITION, "attachment; filename=\"bench.ics\""),
    ];
    Ok((headers, text).into_response())
}
