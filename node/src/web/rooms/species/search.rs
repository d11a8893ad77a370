//! The way to a species: a field with suggestions, those held here, and names that were perhaps meant.

use axum::http::StatusCode;
use axum::response::Response;
use maud::{Markup, html};

use super::shown;
use crate::web::asked::Asked;
use crate::web::fields::Fields;
use crate::web::form::{Bad, Form};
use crate::web::link;
use crate::web::problem::Turned;
use crate::web::visit::Visit;
use propagule_app::reading;
use propagule_app::reading::Offer;
use propagule_files::fault::Fault;
use propagule_present::words::works::{self, methods as words};

/// Most species that are listed.
const LISTED: usize = 100;

/// The room before a species is chosen.
pub(super) async fn page(visit: &Visit, fields: &Fields) -> Result<Response, Turned> {
    let all = visit.view(reading::offered).await?;
    let names = suggestions(&all);
    let is_empty = !all.iter().any(|offer| offer.is_held);
    let (grown, others): (Vec<Offer>, Vec<Offer>) = all.into_iter().partition(|offer| offer.is_grown);
    let address = |name: &str| format!("/works?species={}", link::part(name));
    let body = html! {
        h1 { (works::WHICH_PLANT) }
        p { (words::ABOUT) }
        @if !grown.is_empty() { h2 { (words::YOU_GROW) } (list(&grown, address)) }
        @if !others.is_empty() {
            h2 { @if grown.is_empty() { (words::HELD) } @else { (words::OTHERS_HELD) } }
            (list(&others, address))
            @if others.len() > LISTED { p class="soft" { (words::more_plants(others.len() - LISTED)) } }
        }
        (form(fields, None, &names))
        @if is_empty {
            p { (words::NOTHING_HELD) }
            ul class="acts" { li { a.button.quiet href="/share/people" { (words::OTHER_GROWERS) } } }
        }
    };
    Ok(shown(visit, works::WHICH_PLANT, &body))
}

/// Names to choose from while typing: those held here, else those on the list with their common names.
fn suggestions(held: &[Offer]) -> Vec<String> {
    let common = |offer: &Offer| offer.common.split(", ").map(str::to_owned).collect::<Vec<_>>();
    let held: Vec<String> = held
        .iter()
        .take(LISTED)
        .flat_map(|offer| std::iter::once(offer.name.clone()).chain(common(offer)))
        .collect();
    let listed = propagule_protocol::names::all().iter();
    let listed =
        listed.flat_map(|plant| std::iter::once(plant.scientific).chain(plant.common.iter().copied()));
    let mut names = held;
    names.extend(listed.map(str::to_owned));
    names.retain(|name| !name.is_empty());
    let mut seen = std::collections::BTreeSet::new();
    names.retain(|name| seen.insert(name.clone()));
    names
}

/// The field in which a plant is asked for.
pub(in crate::web::rooms) fn form(fields: &Fields, bad: Option<&Bad>, names: &[String]) -> Markup {
    let form = Form::new(fields, bad);
    html! {
        form method="get" action="/works" class="search" {
            (form.suggested("species", works::PLANT, works::PLANT_HELP, "", names))
            button class="lead" { (works::SHOW) }
        }
    }
}

fn list(offers: &[Offer], address: impl Fn(&str) -> String) -> Markup {
    html! {
        ul class="list" { @for offer in offers.iter().take(LISTED) {
            li { a class="row" href=(address(&offer.name)) {
                span class="lead" { i { (offer.name) } }
                @if !offer.common.is_empty() { " " span class="soft" { (offer.common) } }
                @if offer.is_grown && !offer.is_held { br; span class="soft" { (words::NO_RESULTS_OF_IT) } }
            } }
        } }
    }
}

/// Several plants that were perhaps meant.
pub(super) fn several(visit: &Visit, fields: &Fields, asked: &Asked, offers: &[Offer]) -> Response {
    let body = html! {
        h1 { (works::WHICH_PLANT) }
        p { (words::may_be(asked.species().unwrap_or_default())) }
        (offered(offers, "/works", asked))
        (form(fields, None, &[]))
    };
    shown(visit, works::WHICH_PLANT, &body)
}

/// Plants that were perhaps meant, those with records first.
pub(in crate::web::rooms) fn offered(offers: &[Offer], path: &str, asked: &Asked) -> Markup {
    let address = |name: &str| format!("{path}?{}", asked.clone().about(name).query());
    html! {
        (list(offers, address))
        @if offers.iter().all(|offer| !offer.is_held) { p class="soft" { (words::NOTHING_OF_THEM) } }
    }
}

/// A text that is no plant.
pub(super) fn refused(visit: &Visit, fields: &Fields, failure: Fault) -> Response {
    let bad = Bad::field("species", failure);
    let body = html! {
        h1 { (works::WHICH_PLANT) }
        (Form::new(fields, Some(&bad)).problem())
        (form(fields, Some(&bad), &[]))
    };
    let mut response = shown(visit, works::WHICH_PLANT, &body);
    *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    response
}
