//! Stock plants: what cuttings and scions are taken from.

use axum::Router;
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::get;
use maud::html;
use propagule_protocol::Facet;

use crate::web::Web;
use crate::web::fields::Fields;
use crate::web::form;
use crate::web::form::{Bad, Form, token};
use crate::web::problem::{Turned, of_another_kind};
use crate::web::shell;
use crate::web::visit::{Visit, go};
use propagule_app::outcome::Outcome;
use propagule_app::{BenchRequest, Request};
use propagule_bench::doing::Doing;
use propagule_bench::given::FacetsGiven;
use propagule_bench::stock::{OF_STOCK, StockPlant};
use propagule_present::words::forms::{NOTE, NOTE_HELP};
use propagule_present::words::new_trial::{NOT_SAID, PLANT};
use propagule_present::words::rooms::RoomPage;
use propagule_present::words::tasks::{YOUR_NAME, stock as words};

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/bench/stock", get(list).post(save))
}

async fn list(visit: Visit) -> Result<Response, Turned> {
    page(&visit, &Fields::default(), None).await
}

async fn page(visit: &Visit, fields: &Fields, bad: Option<&Bad>) -> Result<Response, Turned> {
    let plants = plants(visit).await?;
    let form = Form::new(fields, bad);
    let origins: Vec<(&str, &str)> = std::iter::once(("", NOT_SAID))
        .chain(Facet::StockOrigin.words().into_iter().map(|word| (word, word)))
        .collect();
    let body = html! {
        h1 { (RoomPage::StockPlants.name()) }
        p { (words::ABOUT) code { (words::NAMED) } "." }
        ul class="list" { @for plant in &plants {
            li { p class="tight" { strong { (plant.name) } @if let Some(species) = &plant.species { " " i { (species) } }
                @for (name, words) in &plant.facets { br; span class="soft" { (name.replace('_', " ")) " " (words) } }
                @if let Some(note) = &plant.note { br; span class="soft" { (note) } } } }
        } }
        h2 { (words::one()) }
        (form.problem())
        form method="post" {
            (token(visit))
            (form.text("name", YOUR_NAME, words::NAME_HELP, ""))
            (form.text("species", PLANT.label, words::PLANT_HELP, ""))
            (form.choice("stock_origin", words::RAISED_FROM, "", "", &origins))
            (form.text("stock_age", words::AGE, words::AGE_HELP, ""))
            (form.lines("note", NOTE, NOTE_HELP, ""))
            button class="lead" { (words::save()) }
        }
    };
    let mut response = shell::page(visit, RoomPage::StockPlants, RoomPage::StockPlants.name(), &body);
    if bad.is_some() {
        *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    }
    Ok(response)
}

async fn plants(visit: &Visit) -> Result<Vec<StockPlant>, Turned> {
    match visit.done(Request::Bench(Box::new(BenchRequest::StockShow))).await? {
        Outcome::StockPlants(all) => Ok(all.stock_plants),
        _ => Err(of_another_kind().into()),
    }
}

async fn save(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    match saved(&visit, &fields).await {
        Ok(()) => Ok(go("/bench/stock")),
        Err(bad) => page(&visit, &fields, Some(&bad)).await,
    }
}

async fn saved(visit: &Visit, fields: &Fields) -> Result<(), Bad> {
    let mut facets = FacetsGiven::default();
    for facet in OF_STOCK {
        form::facet(&mut facets, visit.hearing(Doing::Stock), facet, fields, facet.name())?;
    }
    let request = BenchRequest::StockSet {
        name: fields.get("name").to_owned(),
        species: fields.owned("species"),
        facets,
        note: fields.owned("note"),
        yes: false,
    };
    visit.bench(request).await?;
    Ok(())
}
