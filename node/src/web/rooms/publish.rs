//! Publishing: exactly what leaves and what stays, a yes, and taking back.

use axum::Router;
use axum::extract::Path;
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::get;
use maud::{Markup, html};

use super::place;
use crate::web::Web;
use crate::web::fields::Fields;
use crate::web::form::{Form, page_links, token};
use crate::web::link;
use crate::web::problem;
use crate::web::problem::Turned;
use crate::web::shell;
use crate::web::visit::{Visit, go};
use propagule_app::outcome::Outcome;
use propagule_app::outcome::publish::{Publish, PublishPreview, PublishStep, RecordItem};
use propagule_app::outcome::trials::TrialLine;
use propagule_app::viewed;
use propagule_app::{Reply, Request, withdrawal_reason};
use propagule_present::outcome as present;
use propagule_present::outcome::said::line;
use propagule_present::words::rooms::RoomPage;

/// Trials on one page.
const A_PAGE: usize = 50;

pub(super) fn routes() -> Router<Web> {
    Router::new()
        .route("/share/publish", get(list))
        .route("/share/publish/{code}", get(preview).post(publish))
        .route("/share/publish/{code}/back", get(ask_back).post(take_back))
        .merge(place::routes())
}

async fn list(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    let page: usize = fields.get("page").parse().unwrap_or(1).max(1);
    let (found, names) = visit
        .view(move |app| {
            Ok((viewed::trials(app, "", (page - 1).saturating_mul(A_PAGE), A_PAGE)?, viewed::names(app)))
        })
        .await?;
    let pages = found.total.div_ceil(A_PAGE);
    let body = html! {
        h1 { "Publish" }
        p { "What is published is a signed summary: plant, method, counts, month and a coarse region. It goes out under your key, not your name. Nothing leaves before you have seen it and said yes." }
        (place::summary(&visit).await?)
        h2 { "Opening" }
        p { @match names.opens {
            Some(true) => "Each new trial is announced on the day it is started: method and number, no result. \
                 Chosen when starting a trial; choose otherwise there.",
            Some(false) => "Trials are not announced on the day they are started. Chosen when starting a trial; \
                 choose otherwise there.",
            None => "Not chosen yet: when you start a trial, you can have it announced: method and number, no result.",
        } }
        h2 { "Your trials" }
        @if found.total == 0 { p { "No trial yet." } }
        @if names.publishing == Some(false) { p { "Publishing is off: nothing is offered. To end that: propagule settings publishing on" } }
        ul class="list" { @for line in found.lines.iter().filter(|line| is_offered(line, names.publishing)) {
            li { a class="row" href={ "/share/publish/" (link::part(&line.code)) } {
                span class="lead" { (line.code) } " " i { (line.species) } br; span class="soft" { (state(line)) }
            } }
        } }
        (page_links("/share/publish", page, pages, "Pages"))
    };
    Ok(shell::page(&visit, RoomPage::Publish, "Publish", &body))
}

/// What is private is not offered; what was published before is shown, so that it can be taken back.
fn is_offered(line: &TrialLine, publishing: Option<bool>) -> bool {
    let may_leave = !line.is_private && publishing != Some(false);
    !line.is_planned && (may_leave || line.published.is_some())
}

fn state(line: &TrialLine) -> String {
    let counted = line
        .stage
        .map_or("nothing counted at a stage yet".to_owned(), |stage| format!("counted at {}", stage.word()));
    match line.published {
        Some(revision) => format!("{counted}; published, update {revision}"),
        None => format!("{counted}; not published"),
    }
}

async fn preview(visit: Visit, Path(code): Path<String>, fields: Fields) -> Result<Response, Turned> {
    let reply = visit.ask(Request::Publish { trial: code.clone(), confirmed: false, at_once: false }).await;
    let published = {
        let code = code.clone();
        visit.view(move |app| Ok(viewed::trial(app, &code)?.published)).await?
    };
    let body = html! {
        p { a href=(link::trial(&code, "")) { (code) } }
        h1 { "Publish " (code) }
        @if fields.is_on("done") { div class="notice" role="status" { p { strong { "Published." } " It leaves within two days while Propagule runs, or now where you chose that." } } }
        @match &reply {
            Ok(Reply::Proposed(outcome)) => { @if let Outcome::Publish(Publish { step: PublishStep::Preview(preview), .. }) = &**outcome { (leaves(&visit, &code, preview)) } },
            Ok(_) => p { strong { "It is published as it stands; nothing to do." } },
            Err(failure) => (problem::notice(failure)),
        }
        @if published.is_some() {
            h2 { "Withdraw" }
            p { a class="button quiet" href={ "/share/publish/" (link::part(&code)) "/back" } { "Take " (code) " back" } }
        }
    };
    let mut response = shell::page(&visit, RoomPage::Publish, &format!("Publish {code}"), &body);
    if reply.is_err() {
        *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    }
    Ok(response)
}

fn leaves(visit: &Visit, code: &str, preview: &PublishPreview) -> Markup {
    let rows = |items: &[RecordItem]| -> Vec<[String; 2]> {
        items.iter().map(|item| item.words.each_ref().map(line)).collect()
    };
    html! {
        h2 { "This leaves your machine, signed" }
        (table("Everything that leaves", &rows(&preview.leaves)))
        h2 { "This stays at home" }
        (table("What you entered and nobody gets", &rows(&preview.stays)))
        @if !preview.has_no_room.is_empty() { h3 { "This has no room in a published result" } ul { @for what in &preview.has_no_room { li { (line(what)) } } } }
        h2 { "Before you say yes" }
        p { "It goes out under your key, not your name. Your key links all your results. If you also show \
             this trial in public, its counts and months can link the key to you." }
        p { "Once published it cannot be recalled from everybody. It leaves within two days, by a detour, \
             so that it is hard to tell where it came from." }
        @for caution in &preview.cautions { div class="caution" { p class="tight" { (line(caution)) } } }
        form method="post" {
            (token(visit))
            (Form::new(&Fields::default(), None).tick("now", "Send it now: peers that watch closely can then guess that it came from here", false))
            button class="lead" name="yes" value="yes" { "Yes, publish " (code) }
        }
    }
}

fn table(caption: &str, rows: &[[String; 2]]) -> Markup {
    html! {
        table class="halves" {
            caption { (caption) }
            tbody { @for [what, value] in rows { tr { th scope="row" { (what) } td { (value) } } } }
        }
    }
}

async fn publish(visit: Visit, Path(code): Path<String>, fields: Fields) -> Result<Response, Turned> {
    let confirmed = fields.get("yes") == "yes";
    let at_once = fields.is_on("now");
    visit.ask(Request::Publish { trial: code.clone(), confirmed, at_once }).await?;
    let done = if confirmed { "?done=yes" } else { "" };
    Ok(go(&format!("/share/publish/{}{done}", link::part(&code))))
}

async fn ask_back(visit: Visit, Path(code): Path<String>) -> Result<Response, Turned> {
    back_page(&visit, &code, &Fields::default()).await
}

async fn back_page(visit: &Visit, code: &str, fields: &Fields) -> Result<Response, Turned> {
    let reasons: Vec<(&str, &str)> =
        propagule_protocol::vocab::withdrawal_reasons().into_iter().map(|word| (word, word)).collect();
    let first = reasons.first().map_or("", |(word, _)| *word);
    let reason = withdrawal_reason(fields.given("reason").unwrap_or(first))?;
    let request = Request::Withdraw { trial: code.to_owned(), reason, confirmed: false, at_once: false };
    let (Reply::Done(outcome) | Reply::Proposed(outcome)) = visit.ask(request).await? else {
        return Err(problem::of_another_kind().into());
    };
    let Outcome::Withdraw(withdraw) = &*outcome else { return Err(problem::of_another_kind().into()) };
    let form = Form::new(fields, None);
    let body = html! {
        p { a href={ "/share/publish/" (link::part(code)) } { "Publish " (code) } }
        h1 { "Take " (code) " back" }
        (propagule_present::html::render(&present::document(&outcome)))
        @if !withdraw.withdrawn {
            form method="post" {
                (token(visit))
                (form.choice("reason", "Why", "The reason is published", first, &reasons))
                button class="grave" name="yes" value="yes" { "Yes, take " (code) " back for ever" }
            }
        }
    };
    Ok(shell::page(visit, RoomPage::Publish, &format!("Withdraw {code}"), &body))
}

async fn take_back(visit: Visit, Path(code): Path<String>, fields: Fields) -> Result<Response, Turned> {
    let request = Request::Withdraw {
        trial: code.clone(),
        reason: withdrawal_reason(fields.get("reason"))?,
        confirmed: fields.get("yes") == "yes",
        at_once: false,
    };
    visit.ask(request).await?;
    Ok(go(&format!("/share/publish/{}/back", link::part(&code))))
}
