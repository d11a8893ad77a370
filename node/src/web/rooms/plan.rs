//! Planning a trial at the bench: the form that sets one up, which first says what its size can show.

use axum::Router;
use axum::routing::get;

use super::bench;
use crate::web::Web;

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/plan", get(bench::plan))
}
