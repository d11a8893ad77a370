//! What the records held here say of a species: which methods really root, and how sure that is.

mod answer;
mod behind;
mod choose;
mod files;
mod search;
#[cfg(test)]
mod tests;
mod trials;

pub(super) use files::data;
pub(super) use search::offered;

use axum::Router;
use axum::response::Response;
use axum::routing::get;
use propagule_protocol::Taxon;

use crate::web::Web;
use crate::web::asked::Asked;
use crate::web::fields::Fields;
use crate::web::problem::Turned;
use crate::web::shell;
use crate::web::visit::Visit;
use propagule_app::reading;
use propagule_app::reading::Found;
use propagule_files::fault::Fault;
use propagule_present::words::rooms::RoomPage;

pub(super) fn routes() -> Router<Web> {
    Router::new()
        .route("/works", get(species))
        .route("/works/trials", get(trials::page))
        .route("/works/behind", get(behind::page))
        .route("/works/evidence.csv", get(files::csv))
        .route("/works/answer.json", get(files::json))
}

async fn species(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    let asked = Asked::read(&fields)?;
    let Some(text) = asked.species().map(str::to_owned) else { return search::page(&visit, &fields).await };
    match found(&visit, &text).await {
        Ok(Found::One(taxon)) => answer::page(&visit, &fields, asked.about(&taxon.to_string()), &text).await,
        Ok(Found::Several(offers)) => Ok(search::several(&visit, &fields, &asked, &offers)),
        Err(failure) => Ok(search::refused(&visit, &fields, failure)),
    }
}

pub(in crate::web::rooms) async fn found(visit: &Visit, text: &str) -> Result<Found, Fault> {
    let text = text.to_owned();
    visit.view(move |app| reading::find(app, &text)).await
}

/// The species of an address that a page of ours wrote.
async fn only(visit: &Visit, fields: &Fields) -> Result<(Asked, Taxon), Turned> {
    let asked = Asked::read(fields)?;
    let text = asked.species().unwrap_or_default().to_owned();
    match found(visit, &text).await? {
        Found::One(taxon) => Ok((asked.about(&taxon.to_string()), taxon)),
        Found::Several(_) => Err(Fault::user("page-plant-ambiguous").with("text", &text).into()),
    }
}

/// A page of this room.
fn shown(visit: &Visit, title: &str, body: &maud::Markup) -> Response {
    shell::page(visit, RoomPage::Methods, title, body)
}
