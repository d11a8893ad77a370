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
use propagule_present::words::sharing::publishing as words;

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
    let title = RoomPage::Publish.name();
    let body = html! {
        h1 { (title) }
        p { (words::WHAT_IT_IS) }
        (place::summary(&visit).await?)
        section class="card" {
            h2 { (words::YOUR_TRIALS) }
            @if found.total == 0 { p { (words::NO_TRIAL) } }
            @if names.publishing == Some(false) { p { (words::OFF) } }
            ul class="list" { @for line in found.lines.iter().filter(|line| is_offered(line, names.publishing)) {
                li { a class="row" href={ "/share/publish/" (link::part(&line.code)) } {
                    span class="lead" { (line.code) } " " i { (line.species) } br; span class="soft" { (present::trials::state(line)) }
                } }
            } }
        }
        (page_links("/share/publish", page, pages, words::PAGES))
        h2 { (words::ANNOUNCING) }
        p { (words::announcing(names.opens)) }
    };
    Ok(shell::page(&visit, RoomPage::Publish, title, &body))
}

/// What is private is not offered; what was published before is shown, so that it can be taken back.
fn is_offered(line: &TrialLine, publishing: Option<bool>) -> bool {
    let may_leave = !line.is_private && publishing != Some(false);
    !line.is_planned && (may_leave || line.published.is_some())
}

async fn preview(visit: Visit, Path(code): Path<String>, fields: Fields) -> Result<Response, Turned> {
    let reply = visit.ask(Request::Publish { trial: code.clone(), confirmed: false, at_once: false }).await;
    let published = {
        let code = code.clone();
        visit.view(move |app| Ok(viewed::trial(app, &code)?.published)).await?
    };
    let title = words::title(&code);
    let body = html! {
        p { a href=(link::trial(&code, "")) { (code) } }
        h1 { (title) }
        @if fields.is_on("done") { div class="notice" role="status" { p { strong { (words::DONE) } " " (words::DONE_WHEN) } } }
        @match &reply {
            Ok(Reply::Proposed(outcome)) => { @if let Outcome::Publish(Publish { step: PublishStep::Preview(preview), .. }) = &**outcome { (leaves(&visit, &code, preview)) } },
            Ok(_) => p { strong { (words::AS_IT_STANDS) } },
            Err(failure) => (problem::notice(failure)),
        }
        @if published.is_some() {
            h2 { (words::WITHDRAW) }
            p { a class="button quiet" href={ "/share/publish/" (link::part(&code)) "/back" } { (words::withdraw(&code)) } }
        }
    };
    let mut response = shell::page(&visit, RoomPage::Publish, &title, &body);
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
        div class="panes" {
            section class="card leaves" { h2 { (words::LEAVES) } (table(words::LEAVES_TABLE, &rows(&preview.leaves))) }
            section class="card stays" {
                h2 { (words::STAYS) }
                (table(words::STAYS_TABLE, &rows(&preview.stays)))
                @if !preview.has_no_room.is_empty() { h3 { (words::NO_ROOM) } ul { @for what in &preview.has_no_room { li { (line(what)) } } } }
            }
        }
        h2 { (words::BEFORE_YES) }
        p { (words::KEY_LINKS) }
        p { (words::NO_RECALL) }
        @for caution in &preview.cautions { div class="caution" { p class="tight" { (line(caution)) } } }
        form method="post" {
            (token(visit))
            (Form::new(&Fields::default(), None).tick("now", words::NOW, false))
            button class="lead" name="yes" value="yes" { (words::yes(code)) }
            a class="button quiet" href=(link::trial(code, "")) { (words::NOT_NOW) }
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
    let title = words::withdraw(code);
    let body = html! {
        p { a href={ "/share/publish/" (link::part(code)) } { (words::title(code)) } }
        h1 { (title) }
        (propagule_present::html::render(&present::document(&outcome)))
        @if !withdraw.withdrawn {
            form method="post" {
                (token(visit))
                (form.choice("reason", words::WHY, words::WHY_HELP, first, &reasons))
                button class="grave" name="yes" value="yes" { (words::withdraw_yes(code)) }
            }
        }
    };
    Ok(shell::page(visit, RoomPage::Publish, &title, &body))
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
