//! How many to start for the plants wanted, what to try next, and what would tell two methods apart.

use axum::Router;
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::get;
use maud::{Markup, html};

use super::species::{OUTCOMES, STAGES, WHOSE, data, found, offered};
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

/// The most that can be wanted or spared.
const MOST: u32 = propagule_analysis::planning::MOST_PIECES;

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/works/many", get(plants)).route("/works/many/answer.json", get(json))
}

async fn plants(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    let asked = Asked::read(&fields)?;
    let Some(text) = asked.species().map(str::to_owned) else {
        return Ok(page(&visit, &fields, "How many to start", None, &html! { h1 { "How many to start" } }));
    };
    match found(&visit, &text).await {
        Ok(Found::One(taxon)) => answered(&visit, &fields, &asked.about(&taxon.to_string())).await,
        Ok(Found::Several(offers)) => {
            let top = html! { h1 { "Which plant?" } (offered(&offers, "/works/many", &asked)) };
            Ok(page(&visit, &fields, "Which plant?", None, &top))
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
            let title = format!("Plan {}", answer.species);
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
    let mut response =
        page(visit, fields, "How many to start", Some(bad), &html! { h1 { "How many to start" } });
    *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    response
}

fn page(visit: &Visit, fields: &Fields, title: &str, bad: Option<&Bad>, top: &Markup) -> Response {
    let form = Form::new(fields, bad);
    let is_asked = !fields.is_empty();
    let body = html! {
        (top)
        (form.problem())
        @if is_asked { h2 { "Plan otherwise" } } @else { p { "From what growers reported, and from your own counts where you have some." } }
        (asking(&form))
        p { a href="/bench/new" { "What a trial of so many pots can show" } " is asked when you set one up." }
    };
    shell::page(visit, RoomPage::Many, title, &body)
}

fn asking(form: &Form<'_>) -> Markup {
    html! {
        form method="get" action="/works/many" {
            (form.text("species", "Plant", "Scientific or common name", ""))
            div class="pair" {
                (form.number("want", "Plants wanted", "", "5"))
                (form.number("sure", "How sure, times in 100", "", "80"))
            }
            (form.number("pieces", "How many you can spare", "For a trial of two methods; leave empty if it does not matter", ""))
            div class="pair" {
                (form.number("cost", "Cost of each", "", ""))
                (form.number("minutes", "Minutes for each", "", ""))
            }
            details {
                summary { "More: count, groups, whose results" }
                div class="pair" {
                    (form.choice("stage", "Count", "", "", &STAGES))
                    (form.choice("outcome", "What counts", "", "", &OUTCOMES))
                }
                (form.choice("whose", "Whose results", "", "", &WHOSE))
                (form.text("by", "Split methods by", "A detail such as medium; none for all methods together", ""))
            }
            button class="lead" { "Plan" }
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
        Action::link("Set up a trial", "/bench/new"),
        Action::link("What it rests on", format!("/works?species={}", link::part(&answer.species))).quiet(),
        Action::link("Plan as JSON", format!("/works/many/answer.json?{}", query(fields, asked))).quiet(),
    ];
    propagule_present::html::render(&screens::plan(answer, next))
}
