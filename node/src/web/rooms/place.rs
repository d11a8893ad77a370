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
use propagule_app::outcome::place::PlaceFacts;
use propagule_app::{Request, viewed};
use propagule_files::fault::Fault;
use propagule_present::words::rooms::RoomPage;

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/share/publish/place", get(show).post(save))
}

/// The places in short.
pub(super) async fn summary(visit: &Visit) -> Result<Markup, Fault> {
    let Outcome::Places(all) = visit.done(Request::PlaceShow).await? else { return Err(of_another_kind()) };
    let places = &all.places;
    let region = |place: &PlaceFacts| {
        let words =
            place.published_region.iter().map(|(what, value)| format!("{} {value}", what.replace('_', " ")));
        words.collect::<Vec<_>>().join(", ")
    };
    Ok(html! {
        h2 { "Where you grow" }
        @if places.is_empty() { p { "A trial needs a site before it can be published. Zone and hemisphere are enough." } }
        @for place in places {
            p { strong { (place.name) } ": " @if place.published_region.is_empty() { "nothing of it could be published yet" } @else { "only this would ever be published of it: " (region(place)) } }
        }
        p { a class="button quiet" href="/share/publish/place" { @if places.is_empty() { "Describe your place" } @else { "Describe a place" } } }
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
    let halves = [("", "choose"), ("north", "north of the equator"), ("south", "south of the equator")];
    let body = html! {
        p { a href="/share/publish" { "Publish" } }
        h1 { "Where you grow" }
        (form.problem())
        form method="post" {
            (token(visit))
            (form.suggested("name", "Your name for the place", "It stays at home", "home", &names))
            (form.choice("hemisphere", "Half of the earth", "It sets the season", "", &halves))
            (form.suggested("zone", "Hardiness zone", "Such as 8b", "", &zones))
            button class="lead" { "Save" }
        }
        p class="soft" { "Monthly temperature and rain make comparing better; they are entered in the terminal: " code { "propagule site --help" } ". What is entered there stays when the zone is changed here." }
    };
    let mut response = shell::page(visit, RoomPage::Publish, "Where you grow", &body);
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
