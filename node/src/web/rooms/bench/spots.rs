//! Spots: where lots stand, and the care that is given to all of them at once.

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
use propagule_present::words::rooms::RoomPage;

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
        h1 { "Benches" }
        p { "A bench, bed, frame or house. Log mist, shade and heat once for everything on it. It stays at home." }
        ul class="list" { @for view in &spots {
            li { a class="row" href=(link::spot(&view.spot.name, "")) {
                span class="lead" { (view.spot.name) } br;
                span class="soft" { (present::spots::facets(&view.facets)) @if !view.lots.is_empty() { "; " (view.lots.len()) " on it" } }
            } }
        } }
        h2 { "Add bench" }
        (form.problem())
        form method="post" {
            (token(visit))
            (form.text("name", "Your name for it", "Such as mist house", ""))
            (facets(&form))
            button class="lead" { "Save the bench" }
        }
    };
    Ok(answered(shell::page(visit, RoomPage::Benches, "Benches", &body), bad))
}

fn answered(mut response: Response, bad: Option<&Bad>) -> Response {
    if bad.is_some() {
        *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    }
    response
}

fn facets(form: &Form<'_>) -> Markup {
    let words = |facet: Facet| -> Vec<(&str, &str)> {
        std::iter::once(("", "not said")).chain(facet.words().into_iter().map(|word| (word, word))).collect()
    };
    html! {
        div class="pair" {
            (form.choice("growing_place", "Growing place", "", "", &words(Facet::GrowingPlace)))
            (form.choice("humidity", "Humidity", "", "", &words(Facet::Humidity)))
        }
        (form.text("watering", "Watering", "Such as kept moist, or every 2 days", ""))
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
        p { a href="/bench/spots" { "Benches" } }
        h1 { (view.spot.name) }
        (looked::said(visit, view, said))
        @if said.is_on("done") { div class="notice" role="status" { p { strong { "Saved." } @if !view.lots.is_empty() { " It holds for all " (view.lots.len()) " on it." } } } }
        p { (present::spots::facets(&view.facets)) }
        h2 { "Care" }
        (cared(visit, view))
        (care_form(visit, view, fields, bad))
        h2 { "What stands on it" }
        @if view.lots.is_empty() { p { "Nothing today." } }
        p { @for lot in &view.lots { a href=(link::trial(lot, "")) { (lot) } " " } }
        (looked::button(visit, view))
        (stand_form(visit, view, &names.trials, fields, bad))
    };
    Ok(answered(shell::page(visit, RoomPage::Benches, &view.spot.name, &body), bad))
}

fn cared(visit: &Visit, view: &SpotView) -> Markup {
    html! {
        @if view.care.is_empty() { p { "None was written down." } }
        ul class="list" { @for span in &view.care {
            li {
                p class="tight" { strong { (span.care) }
                    br; span class="soft" { "from " (span.from) @if let Some(until) = span.until { " to " (until) } } }
                form method="post" action=(link::spot(&view.spot.name, "/back")) {
                    (token(visit)) button class="quiet" name="entry" value=(span.event) aria-label={ "Undo " (span.care) } { "Undo" }
                }
            }
        } }
    }
}

/// Care that lasts until it ends.
const ENDS: [(&str, &str); 4] = [
    ("end mist", "the mist ended"),
    ("end light", "the shade ended"),
    ("end heat", "the heat ended"),
    ("end water", "the watering ended"),
];

/// Kinds of care with how each is written down, and the ends of those that last.
fn kinds() -> Vec<(String, String)> {
    let shown = |kind: &str| match kind {
        "heat" => "bottom heat as set".to_owned(),
        "measured" => "bottom heat as measured in the medium".to_owned(),
        kind => kind.to_owned(),
    };
    let kinds = care_grammar::KINDS.iter();
    let kinds =
        kinds.map(|(kind, ways)| ((*kind).to_owned(), format!("{}: {}", shown(kind), ways.join(", or "))));
    kinds.chain(ENDS.map(|(kind, words)| (kind.to_owned(), words.to_owned()))).collect()
}

fn care_form(visit: &Visit, view: &SpotView, fields: &Fields, bad: Option<&Bad>) -> Markup {
    let none = Fields::default();
    let is_sent = fields.get("what") == "care";
    let form =
        Form { fields: if is_sent { fields } else { &none }, bad: bad.filter(|_| is_sent), scope: "care" };
    html! {
        details open[is_sent] { summary { "Log mist, shade or heat" }
            (form.problem())
            form method="post" action=(link::spot(&view.spot.name, "/care")) {
                (token(visit)) input type="hidden" name="what" value="care";
                (form.choice("kind", "What", "After the colon: how it is written below", "mist", &kinds()))
                (form.text("words", "How", "Such as 8 s every 4 min 07:00-20:00; empty when it ended", ""))
                (form.day("until", "Last day of it", "May stay empty.", ""))
                (form.common(visit))
                button class="lead" { "Save the log" }
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
            details open[is_sent] { summary { "Stand something on it" }
                (form.problem())
                form method="post" action=(link::spot(&view.spot.name, "/stand")) {
                    (token(visit)) input type="hidden" name="what" value="stand";
                    (form.suggested("lots", "Codes of trials", "Parted by commas; all is every trial that is started", "all", trials))
                    (form.common(visit))
                    button class="lead" { "It stands there" }
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

/// Care as typed.
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
