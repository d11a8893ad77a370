//! What is shown when something cannot be done: what, why, and what now.

use std::panic::AssertUnwindSafe;

use axum::extract::{Request, State};
use axum::http::{StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use futures::FutureExt;
use maud::{Markup, html};
use schemars::JsonSchema;
use serde::Serialize;

use super::Web;
use super::guard::Session;
use super::plain;
use super::shell;
use propagule_app::caught;
use propagule_files::fault::{Fault, FaultKind};
use propagule_present::fault;
use propagule_present::html::render;
use propagule_present::pages::{Mends, on_page};
use propagule_present::words::forms as words;

/// A request that was turned away.
#[derive(Clone, Debug)]
pub(super) struct Turned {
    status: StatusCode,
    failure: Fault,
}

impl Turned {
    /// With a status of its own.
    pub(super) fn new(status: StatusCode, failure: Fault) -> Self {
        Self { status, failure }
    }
}

impl From<Fault> for Turned {
    fn from(failure: Fault) -> Self {
        let status = match failure.kind {
            FaultKind::Internal => StatusCode::INTERNAL_SERVER_ERROR,
            _ => StatusCode::UNPROCESSABLE_ENTITY,
        };
        Self::new(status, failure)
    }
}

impl IntoResponse for Turned {
    fn into_response(self) -> Response {
        let mut response = self.status.into_response();
        response.extensions_mut().insert(self);
        response
    }
}

/// Makes a page of whatever a room turned away.
pub(super) async fn shown(State(web): State<Web>, request: Request, next: Next) -> Response {
    let session = request.extensions().get::<Session>().cloned();
    let is_script = request.headers().get(header::ACCEPT).is_some_and(|accept| accept == "application/json");
    let response = AssertUnwindSafe(next.run(request)).catch_unwind().await.unwrap_or_else(|payload| {
        Turned::new(StatusCode::INTERNAL_SERVER_ERROR, caught::internal(payload.as_ref())).into_response()
    });
    let turned = response.extensions().get::<Turned>().cloned().or_else(|| of_status(response.status()));
    match turned {
        Some(turned) if is_script => script(&turned),
        Some(turned) => page(&web, session.as_ref(), &turned),
        None => response,
    }
}

/// What the router itself turns away.
fn of_status(status: StatusCode) -> Option<Turned> {
    let failure = match status {
        StatusCode::NOT_FOUND => nowhere(),
        StatusCode::METHOD_NOT_ALLOWED => Fault::user("page-method-not-allowed"),
        StatusCode::BAD_REQUEST => Fault::user("page-address-malformed"),
        _ => return None,
    };
    Some(Turned::new(status, failure))
}

/// Nothing lies at an address.
pub(super) fn nowhere() -> Fault {
    Fault::user("page-not-found")
}

/// A reply of a kind that the request cannot have.
pub(super) fn of_another_kind() -> Fault {
    Fault::usage("page-answer-of-another-kind")
}

/// What somebody sees who has not come in.
pub(super) fn plain(web: &Web, turned: &Turned) -> Response {
    page(web, None, turned)
}

fn page(web: &Web, session: Option<&Session>, turned: &Turned) -> Response {
    let body = html! {
        h1 { (words::FAILED) }
        (notice(&turned.failure))
        @if session.is_some() { p { a.button href="/today" { (words::TO_TODAY) } } }
    };
    let mut response = shell::outside(web, session, words::FAILED, &body);
    *response.status_mut() = turned.status;
    response
}

fn script(turned: &Turned) -> Response {
    let refused = Refused { error: shell::clean(&sentence(&turned.failure)) };
    let body = serde_json::to_string(&refused).expect("plain data");
    (turned.status, [(header::CONTENT_TYPE, "application/json")], body).into_response()
}

/// What the script of the page is told where something cannot be done.
#[derive(Serialize, JsonSchema)]
#[serde(tag = "format", rename = "propagule.page_refused/1")]
pub(crate) struct Refused {
    /// What failed and why, in one sentence.
    error: String,
}

/// What failed and why, in one sentence.
pub(super) fn sentence(failure: &Fault) -> String {
    plain::plain(&fault::sentence(failure))
}

/// A failure as a box: what, why, what now. Hints that are commands are shown as such.
pub(super) fn notice(failure: &Fault) -> Markup {
    html! {
        div.notice.bad role="alert" id="problem" tabindex="-1" {
            p { strong { (sentence(failure)) } }
            (render(&on_page(failure, mending)))
        }
    }
}

/// Where the page is that mends something.
const fn mending(page: Mends) -> &'static str {
    match page {
        Mends::Site => "/share/publish/place",
        Mends::Benches => "/bench/spots",
        Mends::StockPlants => "/bench/stock",
    }
}
