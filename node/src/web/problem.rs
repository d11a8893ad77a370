//! What is shown when something cannot be done: what, why, and what now.

use axum::extract::{Request, State};
use axum::http::{StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use maud::{Markup, html};

use super::Web;
use super::guard::Session;
use super::shell;
use propagule_files::failure::Failure;

/// A request that was turned away.
#[derive(Clone, Debug)]
pub(super) struct Turned {
    status: StatusCode,
    failure: Failure,
}

impl Turned {
    /// With a status of its own.
    pub(super) fn new(status: StatusCode, failure: Failure) -> Self {
        Self { status, failure }
    }
}

impl From<Failure> for Turned {
    fn from(failure: Failure) -> Self {
        Self::new(StatusCode::UNPROCESSABLE_ENTITY, failure)
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
    let response = next.run(request).await;
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
        StatusCode::METHOD_NOT_ALLOWED => Failure::expected("this address cannot be used in that way")
            .hint("go back, and use the buttons of the page"),
        StatusCode::BAD_REQUEST => Failure::expected("this address cannot be read")
            .hint("look at what follows the ? in it, or go there by a link of the page"),
        _ => return None,
    };
    Some(Turned::new(status, failure))
}

/// Nothing lies at an address.
pub(super) fn nowhere() -> Failure {
    Failure::expected("there is nothing at this address")
        .hint("look at its spelling, or begin at Today and go on by links")
}

/// A reply of a kind that the request cannot have.
pub(super) fn of_another_kind() -> Failure {
    Failure::usage("the node gave an answer of another kind")
        .hint("stop it with Ctrl-C and start it again: propagule serve")
}

/// What somebody sees who has not come in.
pub(super) fn plain(web: &Web, turned: &Turned) -> Response {
    page(web, None, turned)
}

fn page(web: &Web, session: Option<&Session>, turned: &Turned) -> Response {
    let body = html! {
        h1 { "That did not work" }
        (notice(&turned.failure))
        @if session.is_some() { p { a class="button" href="/today" { "Back to Today" } } }
    };
    let mut response = shell::document(web, session, None, "That did not work", &body);
    *response.status_mut() = turned.status;
    response
}

fn script(turned: &Turned) -> Response {
    let body = serde_json::json!({ "error": shell::clean(&sentence(&turned.failure)) });
    (turned.status, [(header::CONTENT_TYPE, "application/json")], body.to_string()).into_response()
}

/// What failed and why, in one sentence.
pub(super) fn sentence(failure: &Failure) -> String {
    let why = failure.why().map(|why| format!(": {why}")).unwrap_or_default();
    format!("{}{why}", failure.what())
}

/// A failure as a box: what, why, what now. Hints that are commands are shown as such.
pub(super) fn notice(failure: &Failure) -> Markup {
    html! {
        div class="notice bad" role="alert" id="problem" tabindex="-1" {
            p { strong { (sentence(failure)) } }
            @for hint in failure.hints() { p { (on_the_page(hint)) } }
        }
    }
}

/// A hint in the words of the page; one that is a command stays one, and says so.
fn on_the_page(hint: &str) -> Markup {
    let known = [
        ("propagule place ", "/publish/place", "Describe your place: zone and hemisphere are enough."),
        ("--rest alive", "", "Say what became of the pieces that are not mentioned."),
        ("--dates ", "", "Say below which comes first, the day or the month."),
        ("add the year", "", "Write the year too."),
    ];
    match known.iter().find(|(sign, ..)| hint.contains(sign)) {
        Some((_, "", words)) => html! { (words) },
        Some((_, address, words)) => html! { a href=(address) { (words) } },
        None if hint.starts_with("propagule ") || hint.contains("--") => {
            html! { "In the terminal: " code { (hint) } }
        }
        None => html! { (hint) },
    }
}
