//! Closing a trial that is over, going on with it after all, and keeping it at home.

use axum::Router;
use axum::extract::Path;
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::get;
use maud::{Markup, html};

use super::saved::Answer;
use crate::web::Web;
use crate::web::fields::Fields;
use crate::web::form;
use crate::web::form::{Bad, Form, token};
use crate::web::link;
use crate::web::problem::{Turned, of_another_kind};
use crate::web::shell;
use crate::web::visit::{Visit, go};
use propagule_app::outcome::Outcome;
use propagule_app::viewed;
use propagule_app::viewed::TrialView;
use propagule_app::{Because, BenchRequest, Closing, Reply, Request};
use propagule_bench::Fate;
use propagule_present::outcome as present;
use propagule_present::words::rooms::RoomPage;

pub(super) fn routes() -> Router<Web> {
    Router::new()
        .route("/bench/trial/{code}/close", get(show_close).post(close))
        .route("/bench/trial/{code}/private", get(show_private).post(private))
}

/// Why a trial is over, as a form offers it.
const REASONS: [(&str, &str); 5] = [
    ("", "not said"),
    ("sold-out", "all sold"),
    ("given-up", "given up"),
    ("done", "done"),
    ("merged", "merged with another batch"),
];

/// What may have become of the pieces that are left.
const FATES: [(&str, &str); 4] =
    [("", "choose"), ("dead", "they are dead"), ("lost", "they are lost"), ("not-known", "not seen")];

async fn show_close(visit: Visit, Path(code): Path<String>) -> Result<Response, Turned> {
    close_page(&visit, code, &Fields::default(), None).await
}

async fn close_page(
    visit: &Visit,
    code: String,
    fields: &Fields,
    bad: Option<&Bad>,
) -> Result<Response, Turned> {
    let view = visit.view(move |app| viewed::trial(app, &code)).await?;
    let form = Form::new(fields, bad);
    let title = format!("{} {}", if view.is_closed { "Reopen" } else { "Close" }, view.trial.code);
    let body = if let Some(closed) = &view.shown.closed {
        html! {
            p { (present::trial::closed_line(closed, view.shown.kind)) "." }
            p { "Reopening undoes this, with what it said of the rest. The history keeps it." }
            (form.problem())
            form method="post" {
                (token(visit)) input type="hidden" name="what" value="reopen";
                button class="lead" { "Reopen " (view.trial.code) }
            }
        }
    } else {
        html! {
            p { "Nothing is due for it any more, and nothing is counted there. Its results stand." }
            (form.problem())
            form method="post" {
                (token(visit)) input type="hidden" name="what" value="close";
                (form.choice("because", "Why", "", "", &REASONS))
                @if view.has_left { (form.choice("rest", "The rest", "They count so from that day on", "", &FATES)) }
                (form.common(visit))
                button class="lead" { "Close " (view.trial.code) }
            }
        }
    };
    Ok(framed(visit, &view, &title, &body, bad))
}

/// A page about one trial, with the way back to it.
fn framed(visit: &Visit, view: &TrialView, title: &str, body: &Markup, bad: Option<&Bad>) -> Response {
    let code = &view.trial.code;
    let body = html! {
        p { a href=(link::trial(code, "")) { (code) } " " i { (view.trial.species) } }
        h1 { (title) }
        (body)
    };
    let mut response = shell::page(visit, RoomPage::Trials, title, &body);
    if bad.is_some() {
        *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    }
    response
}

async fn close(visit: Visit, Path(code): Path<String>, fields: Fields) -> Result<Response, Turned> {
    if fields.get("what") == "reopen" {
        visit.bench(BenchRequest::Reopen { trials: vec![code.clone()] }).await?;
        return Ok(go(&link::trial(&code, "?reopened=yes")));
    }
    match closed(&visit, &code, &fields).await {
        Ok(entry) => Ok(go(&link::trial(&code, &format!("?saved={entry}")))),
        Err(bad) => close_page(&visit, code, &fields, Some(&bad)).await,
    }
}

async fn closed(visit: &Visit, code: &str, fields: &Fields) -> Result<u64, Bad> {
    let rest = match fields.get("rest") {
        "dead" => Some(Fate::Dead),
        "lost" => Some(Fate::Lost),
        "not-known" => Some(Fate::NotKnown),
        _ => None,
    };
    let because = Because::ALL.into_iter().find(|because| because.word() == fields.get("because"));
    let closing = Closing { because, rest };
    let common = form::common(visit, fields)?;
    let request = BenchRequest::Close { trial: code.to_owned(), closing, common };
    match visit.ask(Request::Bench(Box::new(request))).await? {
        Reply::Done(outcome) => match *outcome {
            Outcome::Closed(closed) => Ok(closed.entries.first().copied().unwrap_or(0)),
            // What was sent before is answered with its number alone.
            Outcome::Entry(entry) => Ok(Answer::of(&entry).entry),
            _ => Err(of_another_kind().into()),
        },
        _ => Err(of_another_kind().into()),
    }
}

async fn show_private(visit: Visit, Path(code): Path<String>) -> Result<Response, Turned> {
    let view = visit.view(move |app| viewed::trial(app, &code)).await?;
    let is_private = view.trial.is_private;
    let title = if is_private {
        format!("Allow publishing of {}", view.trial.code)
    } else {
        format!("Keep {} private", view.trial.code)
    };
    let body = html! {
        @if is_private { p { "It may be published again; nothing is published by this." } }
        @else { p { "It is never offered for publishing, and publishing it is refused." } }
        @if view.published.is_some() { p { "What is published of it stays so until you withdraw it on its page under Share." } }
        form method="post" {
            (token(&visit)) input type="hidden" name="private" value=(if is_private { "no" } else { "yes" });
            button class="lead" { @if is_private { "Allow publishing" } @else { "Keep it private" } }
        }
    };
    Ok(framed(&visit, &view, &title, &body, None))
}

async fn private(visit: Visit, Path(code): Path<String>, fields: Fields) -> Result<Response, Turned> {
    let is_private = fields.get("private") == "yes";
    visit.bench(BenchRequest::Private { trial: code.clone(), is_private }).await?;
    Ok(go(&link::trial(&code, "?changed=yes")))
}
