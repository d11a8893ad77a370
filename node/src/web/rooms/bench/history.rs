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
use crate::web::visit::Visit;
use propagule_app::outcome::history::{EntryHistory, History, TrialLabels};
use propagule_app::viewed;
use propagule_present::outcome as present;
use propagule_present::words::rooms::RoomPage;
use propagule_present::words::tasks::{correcting, history as words};

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
    let History { of, entries, changes } = found;
    let pages = entries.len().div_ceil(A_PAGE).max(1);
    let page = fields.get("page").parse().unwrap_or(1).clamp(1, pages);
    let title = words::title(&code);
    let body = html! {
        p { a href=(link::trial(&code, "")) { (code) } }
        h1 { (title) }
        @if entries.is_empty() && changes.is_empty() { p { (words::EMPTY) } }
        ul class="list" { @for entry in entries.iter().rev().skip((page - 1) * A_PAGE).take(A_PAGE) { (line(&of, entry)) } }
        (page_links(&link::trial(&code, "/history"), page, pages, words::ENTRIES))
        @if !changes.is_empty() {
            h2 { (words::CHANGES) }
            ul class="list" { @for change in &changes { li { p class="tight" { (present::said::line(&change.what)) br; span class="soft" { (minute(&change.at)) } } } } }
        }
    };
    Ok(shell::page(&visit, RoomPage::Trials, &title, &body))
}

fn line(of: &TrialLabels, entry: &EntryHistory) -> Markup {
    let said = |entry| present::history::stands(of, entry);
    html! {
        li {
            p class="tight" { strong { (entry.number) } " " (said(entry.entry.as_ref())) br; span class="soft" { (words::typed(&minute(&entry.at))) } }
            @for earlier in &entry.earlier { p class="tight soft" { (words::until(&minute(&earlier.until))) (said(earlier.entry.as_ref())) } }
            @if entry.entry.is_some() {
                a class="button quiet" href=(link::trial(&of.trial, &format!("/entry/{}", entry.number))) aria-label=(correcting::title(entry.number)) { (words::CORRECT) }
            }
        }
    }
}
