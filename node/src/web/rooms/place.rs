//! Where one grows: hemisphere and zone are enough; only a coarse region is ever published.

use axum::Router;
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::get;
use maud::{Markup, html};
use propagule_protocol::place::{Climate, HalfZone, Hemisphere, Place};

use crate::web::Web;
use crate::web::fields::Fields;
use crate::web::form::{Bad, Form, token};
use crate::web::problem::{Turned, of_another_kind};
use crate::web::shell;
use crate::web::visit::{Visit, go};
use propagule_app::outcome::Outcome;
use propagule_app::{Request, viewed};
use propagule_files::fault::Fault;
use propagule_present::outcome::place::published;
use propagule_present::words::rooms::RoomPage;
use propagule_present::words::sharing::place as words;
use propagule_present::words::tasks::SAVE;

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/share/publish/place", get(show).post(save))
}

/// The places in short.
pub(super) async fn summary(visit: &Visit) -> Result<Markup, Fault> {
    let Outcome::Places(all) = visit.done(Request::PlaceShow).await? else { return Err(of_another_kind()) };
    let places = &all.places;
    let lead = if places.is_empty() { words::DESCRIBE_YOURS } else { words::DESCRIBE_ANOTHER };
    Ok(html! {
        section class="card" {
            h2 { (words::TITLE) }
            @if places.is_empty() { p { (words::NONE) } }
            @for place in places { p { strong { (place.name) } ": " (published(place)) } }
            p { a class="button quiet" href="/share/publish/place" { (lead) } }
        }
    })
}

async fn show(visit: Visit) -> Result<Response, Turned> {
    page(&visit, &Fields::default(), None).await
}

async fn page(visit: &Visit, fields: &Fields, bad: Option<&Bad>) -> Result<Response, Turned> {
    let names = visit.view(|app| Ok(viewed::names(app))).await?.places;
    let form = Form::new(fields, bad);
    let zones: Vec<String> =
        (1..=13).flat_map(|zone| ["a", "b"].map(|half| format!("{zone}{half}"))).collect();
    let body = html! {
        p { a href="/share/publish" { (RoomPage::Publish.name()) } }
        h1 { (words::TITLE) }
        (form.problem())
        form method="post" {
            (token(visit))
            (form.suggested("name", words::NAME, words::NAME_HELP, "home", &names))
            (form.choice("hemisphere", words::HEMISPHERE, words::HEMISPHERE_HELP, "", &words::HEMISPHERES))
            (form.suggested("zone", words::ZONE, words::ZONE_HELP, "", &zones))
            button class="lead" { (SAVE) }
        }
        p class="soft" { (words::MONTHS[0]) code { (words::MONTHS_COMMAND) } (words::MONTHS[1]) }
    };
    let mut response = shell::page(visit, RoomPage::Publish, words::TITLE, &body);
    if bad.is_some() {
        *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    }
    Ok(response)
}

async fn save(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    match saved(&visit, &fields).await {
        Ok(()) => Ok(go("/share/publish")),
        Err(bad) => page(&visit, &fields, Some(&bad)).await,
    }
}

async fn saved(visit: &Visit, fields: &Fields) -> Result<(), Bad> {
    let hemisphere = match fields.get("hemisphere") {
        "north" => Hemisphere::North,
        "south" => Hemisphere::South,
        _ => {
            let failure = Fault::user("page-hemisphere-missing");
            return Err(Bad::field("hemisphere", failure));
        }
    };
    let zone = fields.given("zone").map(|text| {
        text.parse::<HalfZone>()
            .map_err(|e| Bad::field("zone", Fault::user("zone-malformed").with("error", &e)))
    });
    let zone = zone.transpose()?;
    let name = fields.given("name").unwrap_or("home").to_owned();
    let climate = {
        let name = name.clone();
        visit.view(move |app| Ok(viewed::climate(app, &name))).await?
    };
    let place = Place { hemisphere, climate: climate.unwrap_or(Climate::None), zone };
    visit
        .done(Request::PlaceSet { name, place, latitude: None })
        .await
        .map_err(|failure| Bad::from(failure).or_field("name"))?;
    Ok(())
}
