//! An own trial against growers in a similar climate, arm by arm.

use axum::Router;
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::get;
use maud::{Markup, html};

use super::species::data;
use crate::web::Web;
use crate::web::asked::Asked;
use crate::web::fields::Fields;
use crate::web::form::{Bad, Form};
use crate::web::link;
use crate::web::problem::Turned;
use crate::web::shell;
use crate::web::visit::Visit;
use propagule_app::outcome::Outcome;
use propagule_app::reading;
use propagule_app::reading::Compared;
use propagule_app::{CompareQuestion, PoolQuestion, viewed};
use propagule_files::fault::Fault;
use propagule_present::screens::{self, Surroundings};
use propagule_present::words::rooms::RoomPage;
use propagule_present::words::today;
use propagule_present::words::works::{self, near as words};

/// Trials on one page.
const A_PAGE: usize = 50;

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/works/near", get(compare)).route("/works/near/answer.json", get(json))
}

/// What a query asks of one trial.
fn question(fields: &Fields, code: &str) -> Result<CompareQuestion, Fault> {
    let PoolQuestion { count, scope, .. } = Asked::read(fields)?.question;
    Ok(CompareQuestion { trial: code.to_owned(), count, scope, at: fields.owned("at") })
}

async fn compare(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    let Some(code) = fields.owned("trial") else { return list(&visit, &fields).await };
    let places = visit.view(|app| Ok(viewed::names(app).places)).await?;
    let question = question(&fields, &code)?;
    let compared = visit.view(move |app| reading::compare(app, &question)).await;
    let refused = compared.as_ref().err().map(|failure| Bad::from(failure.clone()));
    let body = html! {
        @match &compared {
            Ok(compared) => (answer(compared)),
            Err(_) => h1 { (words::compare(&code)) },
        }
        (Form::new(&fields, refused.as_ref()).problem())
        (form(&fields, &code, &places, refused.is_some()))
        ul class="acts" {
            li { a.button.quiet href=(link::trial(&code, "")) { (words::THE_TRIAL) } }
            @if compared.is_ok() { li { a.button.quiet href={ "/works/near/answer.json?" (query(&fields)) } { (works::AS_JSON) } } }
            li { a.button.quiet href="/works/near" { (words::ANOTHER) } }
        }
    };
    let mut response = shell::page(&visit, RoomPage::Near, &words::compare(&code), &body);
    if refused.is_some() {
        *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    }
    Ok(response)
}

async fn json(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    let question = question(&fields, fields.get("trial"))?;
    let Compared { answer, .. } = visit.view(move |app| reading::compare(app, &question)).await?;
    Ok(data("comparison.json", &Outcome::Compare(Box::new(answer))))
}

/// The fields of this room, as a query.
fn query(fields: &Fields) -> String {
    let names = ["trial", "stage", "outcome", "whose", "at"];
    let pairs = names.iter().filter_map(|name| Some(format!("{name}={}", link::part(fields.given(name)?))));
    pairs.collect::<Vec<_>>().join("&")
}

/// Own trials that can be compared.
async fn list(visit: &Visit, fields: &Fields) -> Result<Response, Turned> {
    let page: usize = fields.get("page").parse().unwrap_or(1).max(1);
    let skip = (page - 1).saturating_mul(A_PAGE);
    let found = visit.view(move |app| viewed::trials(app, "", skip, A_PAGE)).await?;
    let pages = found.total.div_ceil(A_PAGE);
    let body = html! {
        h1 { (words::WHICH_TRIAL) }
        p { (words::ABOUT) }
        @if found.total == 0 { p { (words::NONE_YET) " " a href="/bench/new" { (today::SET_UP) } } }
        ul class="list" { @for line in found.lines.iter().filter(|line| !line.is_planned) { li {
            @if line.stage.is_some() {
                a class="row" href={ "/works/near?trial=" (link::part(&line.code)) } {
                    span class="lead" { (line.code) } " " i { (line.species) } br; span class="soft" { (words::started(line)) }
                }
            } @else { p class="tight" { (line.code) " " i { (line.species) } br; span class="soft" { (words::NOT_COUNTED) } } }
        } } }
        @if pages > 1 { nav aria-label=(works::PAGES) class="acts" { @for number in 1..=pages {
            a.button.quiet href={ "/works/near?page=" (number) } aria-current=[(number == page).then_some("page")] { (number) }
        } } }
    };
    Ok(shell::page(visit, RoomPage::Near, words::WHICH_TRIAL, &body))
}

fn form(fields: &Fields, code: &str, places: &[String], is_open: bool) -> Markup {
    let form = Form::new(fields, None);
    let is_open =
        is_open || ["stage", "outcome", "whose", "at"].iter().any(|name| fields.given(name).is_some());
    let mut at = vec![(String::new(), words::WHERE_IT_STOOD.to_owned())];
    at.extend(places.iter().map(|place| (place.clone(), place.clone())));
    html! {
        details open[is_open] {
            summary { (words::OTHERWISE) }
            form method="get" action="/works/near" {
                input type="hidden" name="trial" value=(code);
                (form.choice("at", words::AT, words::AT_HELP, "", &at))
                div class="pair" {
                    (form.choice("stage", works::COUNT, "", "", &works::STAGES))
                    (form.choice("outcome", works::OUTCOME, "", "", &works::OUTCOMES))
                }
                (form.choice("whose", works::WHOSE, "", "", &works::WHOSE_RESULTS))
                button class="lead" { (words::COMPARE) }
            }
        }
    }
}

fn answer(compared: &Compared) -> Markup {
    let Compared { answer, place, regions } = compared;
    propagule_present::html::render(&screens::compare(answer, Some(&Surroundings { place, regions })))
}
