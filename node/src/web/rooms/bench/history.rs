//! Everything that was entered for a trial, with how it stood before each correction.

use axum::Router;
use axum::extract::Path;
use axum::response::Response;
use axum::routing::get;
use maud::{Markup, html};

use crate::web::Web;
use crate::web::fields::Fields;
use crate::web::form::page_links;
use crate::web::link;
use crate::web::problem::Turned;
use crate::web::shell;
use crate::web::shell::Room;
use crate::web::visit::Visit;
use propagule_app::viewed;
use propagule_app::viewed::EntryView;

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/bench/trial/{code}/history", get(history))
}

/// `2026-07-04 10:15`.
pub(super) fn minute(at: &str) -> String {
    at.chars().take(16).collect::<String>().replace('T', " ")
}

/// Entries on one page.
const A_PAGE: usize = 50;

async fn history(visit: Visit, Path(code): Path<String>, fields: Fields) -> Result<Response, Turned> {
    let (code, found) = visit.view(move |app| viewed::history(app, &code).map(|found| (code, found))).await?;
    let viewed::HistoryView { entries, changes } = found;
    let pages = entries.len().div_ceil(A_PAGE).max(1);
    let page = fields.get("page").parse().unwrap_or(1).clamp(1, pages);
    let body = html! {
        p { a href=(link::trial(&code, "")) { (code) } }
        h1 { "History of " (code) }
        @if entries.is_empty() && changes.is_empty() { p { "Nothing yet." } }
        ul class="list" { @for entry in entries.iter().rev().skip((page - 1) * A_PAGE).take(A_PAGE) { (line(&code, entry)) } }
        (page_links(&link::trial(&code, "/history"), page, pages, "Entries"))
        @if !changes.is_empty() {
            h2 { "Changes of the description" }
            ul class="list" { @for (at, what) in &changes { li { p class="tight" { (what) br; span class="soft" { (minute(at)) } } } } }
        }
    };
    Ok(shell::page(&visit, Room::Bench, &format!("History of {code}"), &body))
}

fn line(code: &str, entry: &EntryView) -> Markup {
    html! {
        li {
            p class="tight" { strong { (entry.number) } " " (entry.words) br; span class="soft" { "typed " (minute(&entry.at)) } }
            @for (words, until) in &entry.earlier { p class="tight soft" { "until " (minute(until)) ": " (words) } }
            @if entry.entry.is_some() {
                a class="button quiet" href=(link::trial(code, &format!("/entry/{}", entry.number))) aria-label={ "Correct entry " (entry.number) } { "Correct" }
            }
        }
    }
}
