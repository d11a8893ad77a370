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
use propagule_present::words::tasks::{REST, closing as words};

pub(super) fn routes() -> Router<Web> {
    Router::new()
        .route("/bench/trial/{code}/close", get(show_close).post(close))
        .route("/bench/trial/{code}/private", get(show_private).post(private))
}

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
    let title = words::title(view.is_closed, &view.trial.code);
    let body = if let Some(closed) = &view.shown.closed {
        html! {
            p { (present::trial::closed_line(closed, view.shown.kind)) "." }
            p { (words::REOPENING) }
            (form.problem())
            form method="post" {
                (token(visit)) input type="hidden" name="what" value="reopen";
                button class="lead" { (title) }
            }
        }
    } else {
        html! {
            p { (words::CLOSING) }
            (form.problem())
            form method="post" {
                (token(visit)) input type="hidden" name="what" value="close";
                (form.choice("because", words::WHY, "", "", &words::REASONS))
                @if view.has_left { (form.choice("rest", REST, words::REST_HELP, "", &words::FATES)) }
                (form.common(visit))
                button class="lead" { (title) }
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
    let title = words::private_title(is_private, &view.trial.code);
    let body = html! {
        p { (words::private_does(is_private)) }
        @if view.published.is_some() { p { (words::PUBLISHED_STAYS) } }
        form method="post" {
            (token(&visit)) input type="hidden" name="private" value=(if is_private { "no" } else { "yes" });
            button class="lead" { (words::private_button(is_private)) }
        }
    };
    Ok(framed(&visit, &view, &title, &body, None))
}

async fn private(visit: Visit, Path(code): Path<String>, fields: Fields) -> Result<Response, Turned> {
    let is_private = fields.get("private") == "yes";
    visit.bench(BenchRequest::Private { trial: code.clone(), is_private }).await?;
    Ok(go(&link::trial(&code, "?changed=yes")))
}
