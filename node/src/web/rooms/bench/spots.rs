//! Benches: where trials stand, and the log of mist, shade, heat and water for all of them at once.

use axum::Router;
use axum::extract::Path;
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::{get, post};
use maud::{Markup, html};
use propagule_protocol::Facet;

use super::looked;
use crate::grammar::care as care_grammar;
use crate::web::Web;
use crate::web::fields::Fields;
use crate::web::form;
use crate::web::form::{Bad, Form, token};
use crate::web::link;
use crate::web::problem::Turned;
use crate::web::shell;
use crate::web::visit::{Visit, go};
use propagule_app::BenchRequest;
use propagule_app::viewed;
use propagule_app::viewed::SpotView;
use propagule_bench::doing::Doing;
use propagule_bench::given::FacetsGiven;
use propagule_bench::spot::{Care, CareFault};
use propagule_files::fault::Fault;
use propagule_present::outcome as present;
use propagule_present::words::new_trial::NOT_SAID;
use propagule_present::words::rooms::RoomPage;
use propagule_present::words::tasks::{UNDO, YOUR_NAME, benches as words};

pub(super) fn routes() -> Router<Web> {
    Router::new()
        .route("/bench/spots", get(list).post(describe))
        .route("/bench/spot/{name}", get(show))
        .route("/bench/spot/{name}/care", post(care))
        .route("/bench/spot/{name}/stand", post(stand))
        .route("/bench/spot/{name}/back", post(take_back))
}

async fn list(visit: Visit) -> Result<Response, Turned> {
    list_page(&visit, &Fields::default(), None).await
}

async fn list_page(visit: &Visit, fields: &Fields, bad: Option<&Bad>) -> Result<Response, Turned> {
    let spots = visit.view(|app| viewed::spots(app, None)).await?;
    let form = Form::new(fields, bad);
    let body = html! {
        h1 { (RoomPage::Benches.name()) }
        p { (words::ABOUT) }
        ul class="list" { @for view in &spots {
            li { a class="row" href=(link::spot(&view.spot.name, "")) {
                span class="lead" { (view.spot.name) } br;
                span class="soft" { (present::spots::facets(&view.facets)) @if !view.lots.is_empty() { "; " (words::on_it(view.lots.len())) } }
            } }
        } }
        h2 { (words::ADD) }
        (form.problem())
        form method="post" {
            (token(visit))
            (form.text("name", YOUR_NAME, words::NAME_HELP, ""))
            (facets(&form))
            button class="lead" { (words::SAVE_BENCH) }
        }
    };
    Ok(answered(shell::page(visit, RoomPage::Benches, RoomPage::Benches.name(), &body), bad))
}

fn answered(mut response: Response, bad: Option<&Bad>) -> Response {
    if bad.is_some() {
        *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    }
    response
}

fn facets(form: &Form<'_>) -> Markup {
    let words = |facet: Facet| -> Vec<(&str, &str)> {
        std::iter::once(("", NOT_SAID)).chain(facet.words().into_iter().map(|word| (word, word))).collect()
    };
    html! {
        div class="pair" {
            (form.choice("growing_place", words::STRUCTURE, "", "", &words(Facet::GrowingPlace)))
            (form.choice("humidity", words::COVER, "", "", &words(Facet::Humidity)))
        }
        (form.text("watering", words::WATERING, words::WATERING_HELP, ""))
    }
}

async fn describe(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    match described(&visit, &fields).await {
        Ok(()) => Ok(go(&link::spot(fields.get("name"), ""))),
        Err(bad) => list_page(&visit, &fields, Some(&bad)).await,
    }
}

async fn described(visit: &Visit, fields: &Fields) -> Result<(), Bad> {
    let mut facets = FacetsGiven::default();
    for facet in [Facet::GrowingPlace, Facet::Humidity, Facet::Watering] {
        form::facet(&mut facets, visit.hearing(Doing::Spot), facet, fields, facet.name())?;
    }
    visit.bench(BenchRequest::SpotSet { name: fields.get("name").to_owned(), facets }).await?;
    Ok(())
}

async fn show(visit: Visit, Path(name): Path<String>, fields: Fields) -> Result<Response, Turned> {
    page(&visit, name, &Fields::default(), None, &fields).await
}

async fn page(
    visit: &Visit,
    name: String,
    fields: &Fields,
    bad: Option<&Bad>,
    said: &Fields,
) -> Result<Response, Turned> {
    let (spots, names) =
        visit.view(move |app| Ok((viewed::spots(app, Some(&name))?, viewed::names(app)))).await?;
    let Some(view) = spots.first() else {
        return Err(Fault::user("page-spot-unknown").into());
    };
    let body = html! {
        p { a href="/bench/spots" { (RoomPage::Benches.name()) } }
        h1 { (view.spot.name) }
        (looked::said(visit, view, said))
        @if said.is_on("done") { div class="notice" role="status" { p { strong { (words::SAVED) } @if !view.lots.is_empty() { " " (words::holds_for(view.lots.len())) } } } }
        p { (present::spots::facets(&view.facets)) }
        h2 { (words::LOG) }
        (cared(visit, view))
        (care_form(visit, view, fields, bad))
        h2 { (words::STANDING) }
        @if view.lots.is_empty() { p { (words::NOTHING_TODAY) } }
        p { @for lot in &view.lots { a href=(link::trial(lot, "")) { (lot) } " " } }
        (looked::button(visit, view))
        (stand_form(visit, view, &names.trials, fields, bad))
    };
    Ok(answered(shell::page(visit, RoomPage::Benches, &view.spot.name, &body), bad))
}

fn cared(visit: &Visit, view: &SpotView) -> Markup {
    html! {
        @if view.care.is_empty() { p { (words::NO_LOG) } }
        ul class="list" { @for span in &view.care {
            li {
                p class="tight" { strong { (span.care) }
                    br; span class="soft" { (words::since(&span.from.to_string(), span.until.map(|until| until.to_string()).as_deref())) } }
                form method="post" action=(link::spot(&view.spot.name, "/back")) {
                    (token(visit)) button class="quiet" name="entry" value=(span.event) aria-label=(words::undo(&span.care.to_string())) { (UNDO) }
                }
            }
        } }
    }
}

/// What may be logged with how each is written, and the ends of what lasts.
fn kinds() -> Vec<(String, String)> {
    let kinds = care_grammar::KINDS.iter();
    let kinds = kinds.map(|(kind, ways)| ((*kind).to_owned(), words::logged(kind, ways)));
    kinds.chain(words::ENDS.map(|(kind, words)| (kind.to_owned(), words.to_owned()))).collect()
}

fn care_form(visit: &Visit, view: &SpotView, fields: &Fields, bad: Option<&Bad>) -> Markup {
    let none = Fields::default();
    let is_sent = fields.get("what") == "care";
    let form =
        Form { fields: if is_sent { fields } else { &none }, bad: bad.filter(|_| is_sent), scope: "care" };
    html! {
        details open[is_sent] { summary { (words::LOG_FORM) }
            (form.problem())
            form method="post" action=(link::spot(&view.spot.name, "/care")) {
                (token(visit)) input type="hidden" name="what" value="care";
                (form.choice("kind", words::WHAT, words::WHAT_HELP, "mist", &kinds()))
                (form.text("words", words::HOW, words::HOW_HELP, ""))
                (form.day("until", words::LAST_DAY, words::MAY_BE_EMPTY, ""))
                (form.common(visit))
                button class="lead" { (words::SAVE_LOG) }
            }
        }
    }
}

fn stand_form(
    visit: &Visit,
    view: &SpotView,
    trials: &[String],
    fields: &Fields,
    bad: Option<&Bad>,
) -> Markup {
    let none = Fields::default();
    let is_sent = fields.get("what") == "stand";
    let form =
        Form { fields: if is_sent { fields } else { &none }, bad: bad.filter(|_| is_sent), scope: "stand" };
    html! {
        @if !trials.is_empty() {
            details open[is_sent] { summary { (words::SET_ON) }
                (form.problem())
                form method="post" action=(link::spot(&view.spot.name, "/stand")) {
                    (token(visit)) input type="hidden" name="what" value="stand";
                    (form.suggested("lots", words::CODES, words::CODES_HELP, "all", trials))
                    (form.common(visit))
                    button class="lead" { (words::STANDS_THERE) }
                }
            }
        }
    }
}

async fn care(visit: Visit, Path(name): Path<String>, fields: Fields) -> Result<Response, Turned> {
    match saved(&visit, &name, &fields).await {
        Ok(()) => Ok(go(&link::spot(&name, "?done=yes"))),
        Err(bad) => page(&visit, name, &fields, Some(&bad), &Fields::default()).await,
    }
}

async fn saved(visit: &Visit, name: &str, fields: &Fields) -> Result<(), Bad> {
    let request = BenchRequest::Care {
        spot: name.to_owned(),
        care: read(fields.get("kind"), fields.get("words"))?,
        until: form::day(fields, "until")?,
        common: form::common(visit, fields)?,
    };
    visit.enter(request).await?;
    Ok(())
}

/// An entry of the log as typed.
fn read(kind: &str, text: &str) -> Result<Care, Bad> {
    if let Some(what) = kind.strip_prefix("end ") {
        return Ok(Care::Ended { what: what.to_owned() });
    }
    care_grammar::read(kind, text).map_err(|why| match why {
        CareFault::KindUnknown => {
            let kinds = care_grammar::KINDS.map(|(kind, _)| kind);
            let fault = Fault::user("page-care-unknown").with("care", kind).with_data("kinds", &kinds);
            Bad::field("kind", fault)
        }
        why => {
            let fault = Fault::user("page-care-malformed")
                .with("care", kind)
                .with("text", text)
                .with_data("why", &why)
                .with_data("ways", &care_grammar::ways(kind));
            Bad::field("words", fault)
        }
    })
}

async fn stand(visit: Visit, Path(name): Path<String>, fields: Fields) -> Result<Response, Turned> {
    match stood(&visit, &name, &fields).await {
        Ok(()) => Ok(go(&link::spot(&name, "?done=yes"))),
        Err(bad) => page(&visit, name, &fields, Some(&bad), &Fields::default()).await,
    }
}

async fn stood(visit: &Visit, name: &str, fields: &Fields) -> Result<(), Bad> {
    let lots: Vec<String> = fields
        .get("lots")
        .split(',')
        .map(str::trim)
        .filter(|lot| !lot.is_empty())
        .map(str::to_owned)
        .collect();
    if lots.is_empty() {
        return Err(Bad::field("lots", Fault::user("page-nothing-placed")));
    }
    let request = BenchRequest::Stand { spot: name.to_owned(), lots, common: form::common(visit, fields)? };
    visit.bench(request).await?;
    Ok(())
}

async fn take_back(visit: Visit, Path(name): Path<String>, fields: Fields) -> Result<Response, Turned> {
    let entry = fields.get("entry").parse().unwrap_or(0);
    visit.enter(BenchRequest::TakeBackCare { spot: name.clone(), entry }).await?;
    Ok(go(&link::spot(&name, "")))
}
