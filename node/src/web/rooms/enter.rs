//! The one-time address.

use axum::Router;
use axum::extract::{Path, State};
use axum::http::{Method, StatusCode};
use axum::response::Response;
use axum::routing::get;
use maud::html;

use crate::web::Web;
use crate::web::problem::Turned;
use crate::web::shell;
use propagule_files::fault::Fault;
use propagule_present::words::rooms::COME_IN;
use propagule_present::words::sharing::phones::GO;

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/enter/{secret}", get(enter))
}

/// Lets the browser in. A page of our own then leads on: a cookie that is `SameSite=Strict` would not go along with
/// a redirect that began somewhere else.
async fn enter(
    State(web): State<Web>,
    method: Method,
    Path(secret): Path<String>,
) -> Result<Response, Turned> {
    let now = web.app.clock().now();
    let session = if method == Method::GET { web.doors.enter(&secret, now)? } else { None };
    let Some(session) = session else {
        let failure = Fault::user("page-address-used");
        return Err(Turned::new(StatusCode::FORBIDDEN, failure));
    };
    let body = html! {
        meta http-equiv="refresh" content="0;url=/today";
        h1 { (COME_IN) }
        p { a class="button lead" href="/today" { (GO) } }
    };
    Ok(web.set_cookie(&session, shell::outside(&web, None, COME_IN, &body)))
}
