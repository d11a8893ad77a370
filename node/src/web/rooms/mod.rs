//! One file a room or page. A page asks `app`, and writes what it hears into the shell.

pub(crate) mod bench;
mod compare;
mod enter;
#[cfg(test)]
mod fates_tests;
#[cfg(test)]
mod kinds_tests;
mod moved;
mod people;
mod phone;
#[cfg(test)]
mod pictures_tests;
mod place;
mod plants;
mod publish;
#[cfg(test)]
mod same_by_form_tests;
mod species;
#[cfg(test)]
mod stories;
#[cfg(test)]
mod tests;
mod today;

use axum::Router;
use axum::response::Redirect;
use axum::routing::get;

use super::Web;
use super::assets;
use super::guard::Side;

/// Whether a form is sent there that may hold a grower's whole table.
pub(super) fn takes_files(path: &str) -> bool {
    path == bench::IMPORT
}

/// What is served on one side; phones that were let in see Bench and Today only.
pub(super) fn routes(side: Side) -> Router<Web> {
    let both = Router::new()
        .route("/", get(|| async { Redirect::to("/today") }))
        .route("/assets/{name}", get(assets::serve))
        .merge(today::routes())
        .merge(bench::routes());
    match side {
        Side::Lan => both.merge(phone::lan_routes()),
        Side::Loopback => {
            let desk = enter::routes().merge(phone::routes()).merge(publish::routes());
            let reading =
                species::routes().merge(compare::routes()).merge(plants::routes()).merge(people::routes());
            both.merge(desk).merge(reading).merge(moved::routes())
        }
    }
}
#[cfg(test)]
mod ended_tests;
