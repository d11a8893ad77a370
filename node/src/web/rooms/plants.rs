//! How many to start for the plants wanted, what to try next, and what would tell two methods apart.

use axum::Router;
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::get;
use maud::{Markup, html};

use super::species::{data, found, offered};
use crate::web::Web;
use crate::web::asked::Asked;
use crate::web::fields::Fields;
use crate::web::form::{Bad, Form};
use crate::web::link;
use crate::web::problem::Turned;
use crate::web::shell;
use crate::web::visit::Visit;
use propagule_answer::plan::PlanAnswer;
use propagule_answer::question::Exact;
use propagule_app::outcome::Outcome;
use propagule_app::reading;
use propagule_app::reading::Found;
use propagule_app::{Aim, PlanQuestion, PoolQuestion};
use propagule_files::fault::Fault;
use propagule_present::document::Action;
use propagule_present::screens;
use propagule_present::words::percent;
use propagule_present::words::rooms::RoomPage;
use propagule_present::words::today;
use propagule_present::words::works::{self, many as words};

/// The most that can be wanted or spared.
const MOST: u32 = propagule_analysis::planning::MOST_PIECES;

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/works/many", get(plants)).route("/works/many/answer.json", get(json))
}

async fn plants(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    let asked = Asked::read(&fields)?;
    let Some(text) = asked.species().map(str::to_owned) else {
        return Ok(page(&visit, &fields, words::TITLE, None, &html! { h1 { (words::TITLE) } }));
    };
    match found(&visit, &text).await {
        Ok(Found::One(taxon)) => answered(&visit, &fields, &asked.about(&taxon.to_string())).await,
        Ok(Found::Several(offers)) => {
            let top = html! { h1 { (works::WHICH_PLANT) } (offered(&offers, "/works/many", &asked)) };
            Ok(page(&visit, &fields, works::WHICH_PLANT, None, &top))
        }
        Err(failure) => Ok(refused(&visit, &fields, &Bad::field("species", failure))),
    }
}

/// What a query asks.
fn question(fields: &Fields, asked: &Asked) -> Result<PlanQuestion, Bad> {
    let PoolQuestion { species, count, grouping, scope, .. } = asked.question.clone();
    let aim = aim(fields)?;
    Ok(PlanQuestion { count, grouping, scope, aim, ..PlanQuestion::about(species) })
}

fn aim(fields: &Fields) -> Result<Aim, Bad> {
    let sure = amount(fields, "sure", 99.9)?.unwrap_or(80.0) / 100.0;
    if sure <= 0.0 {
        let failure = Fault::user("page-chance-out-of-range");
        return Err(Bad::field("sure", failure));
    }
    Ok(Aim {
        want: whole(fields, "want", 1)?.unwrap_or(5),
        sure: sure.into(),
        pieces: whole(fields, "pieces", 2)?,
        cost: amount(fields, "cost", 1e6)?.map(Exact::from),
        minutes: amount(fields, "minutes", 1e6)?.map(Exact::from),
    })
}

fn whole(fields: &Fields, name: &str, least: u32) -> Result<Option<u32>, Bad> {
    let Some(text) = fields.given(name) else { return Ok(None) };
    let number = text.parse::<u32>().ok().filter(|number| (least..=MOST).contains(number));
    number.map(Some).ok_or_else(|| {
        let fault = Fault::user("page-whole-number-out-of-range")
            .with("text", text)
            .with("least", least)
            .with("most", MOST);
        Bad::field(name, fault)
    })
}

/// A number from 0 up, with a point or a comma.
fn amount(fields: &Fields, name: &str, most: f64) -> Result<Option<f64>, Bad> {
    let Some(text) = fields.given(name) else { return Ok(None) };
    let number = text.replace(',', ".").parse::<f64>().ok().filter(|number| (0.0..=most).contains(number));
    number.map(Some).ok_or_else(|| {
        let fault = Fault::user("page-amount-out-of-range").with("text", text).with("most", most);
        Bad::field(name, fault)
    })
}

async fn answered(visit: &Visit, fields: &Fields, asked: &Asked) -> Result<Response, Turned> {
    let question = match question(fields, asked) {
        Ok(question) => question,
        Err(bad) => return Ok(refused(visit, fields, &bad)),
    };
    match visit.view(move |app| reading::plan(app, &question)).await {
        Ok(answer) => {
            let title = words::plan(&answer.species);
            let usual =
                format!("{}&want={}&sure={}", query(fields, asked), answer.want, percent(answer.sure));
            let said = Fields::read(usual.as_bytes());
            Ok(page(visit, &said, &title, None, &shown(&answer, fields, asked)))
        }
        Err(failure) => Ok(refused(visit, fields, &Bad::field("species", failure))),
    }
}

async fn json(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    let question = question(&fields, &Asked::read(&fields)?).map_err(|bad| bad.failure)?;
    let answer = visit.view(move |app| reading::plan(app, &question)).await?;
    Ok(data("plan.json", &Outcome::Plan(Box::new(PlanAnswer::clone(&answer)))))
}

fn refused(visit: &Visit, fields: &Fields, bad: &Bad) -> Response {
    let mut response = page(visit, fields, words::TITLE, Some(bad), &html! { h1 { (words::TITLE) } });
    *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    response
}

fn page(visit: &Visit, fields: &Fields, title: &str, bad: Option<&Bad>, top: &Markup) -> Response {
    let form = Form::new(fields, bad);
    let is_asked = !fields.is_empty();
    let body = html! {
        (top)
        (form.problem())
        @if is_asked { h2 { (words::OTHERWISE) } } @else { p { (words::ABOUT) } }
        (asking(&form))
        p { a href="/bench/new" { (words::SIZE) } }
    };
    shell::page(visit, RoomPage::Many, title, &body)
}

fn asking(form: &Form<'_>) -> Markup {
    html! {
        form method="get" action="/works/many" {
            (form.text("species", works::PLANT, works::PLANT_HELP, ""))
            div class="pair" {
                (form.number("want", words::WANTED, "", "5"))
                (form.number("sure", words::SURE, "", "80"))
            }
            (form.number("pieces", words::SPARE, words::SPARE_HELP, ""))
            div class="pair" {
                (form.number("cost", words::COST, "", ""))
                (form.number("minutes", words::MINUTES, "", ""))
            }
            details {
                summary { (words::MORE) }
                div class="pair" {
                    (form.choice("stage", works::COUNT, "", "", &works::STAGES))
                    (form.choice("outcome", works::OUTCOME, "", "", &works::OUTCOMES))
                }
                (form.choice("whose", works::WHOSE, "", "", &works::WHOSE_RESULTS))
                (form.text("by", works::SPLIT_BY, words::SPLIT_HELP, ""))
            }
            button class="lead" { (words::PLAN) }
        }
    }
}

/// The fields of this room, as a query.
fn query(fields: &Fields, asked: &Asked) -> String {
    let own = ["want", "sure", "pieces", "cost", "minutes"];
    let own = own.iter().filter_map(|name| Some(format!("&{name}={}", link::part(fields.given(name)?))));
    own.fold(asked.query(), |query, pair| query + &pair)
}

fn shown(answer: &PlanAnswer, fields: &Fields, asked: &Asked) -> Markup {
    let next = [
        Action::link(today::SET_UP, "/bench/new"),
        Action::link(words::RESTS_ON, format!("/works?species={}", link::part(&answer.species))).quiet(),
        Action::link(works::AS_JSON, format!("/works/many/answer.json?{}", query(fields, asked))).quiet(),
    ];
    propagule_present::html::render(&screens::plan(answer, next))
}
