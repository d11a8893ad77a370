//! Who may come in: the one-time address, the session cookie, and checks of host, origin and token.

mod body;
#[cfg(test)]
mod body_tests;
mod doors;
mod headers;
mod random;
#[cfg(test)]
mod tests;

use axum::body::Body;
use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

use body::Allowance;
pub use doors::{Doors, PhoneRow};
pub(super) use doors::{Session, SessionKind};
pub(super) use random::secret;

use super::Web;
use super::fields::{Fields, TEXT_CHARACTERS};
use super::problem::Turned;
use propagule_files::fault::Fault;

/// Which listener a request came in by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// This machine only.
    Loopback,
    /// The local network: phones that were let in, Bench and Today only.
    Lan,
}

/// Lets a request through, or says why not; every answer gets the headers that keep a browser strict.
pub(super) async fn guard(State(web): State<Web>, request: Request, next: Next) -> Response {
    let response = match admit(&web, request).await {
        Ok((request, _allowance)) => next.run(request).await,
        Err(turned) => ending(super::problem::plain(&web, &turned)),
    };
    headers::strict(response)
}

/// What was not read of a request that was turned away is not waited for.
fn ending(mut response: Response) -> Response {
    response.headers_mut().insert(header::CONNECTION, HeaderValue::from_static("close"));
    response
}

/// The request with the form that it brought, and what it may send, which is held until it is answered. Nothing of a body
/// is read before host, origin and cookie were judged, and the length that is stated.
async fn admit(web: &Web, request: Request) -> Result<(Request, Option<Allowance>), Turned> {
    check_host(web, request.headers())?;
    let is_reading = request.method() == Method::GET || request.method() == Method::HEAD;
    if !is_reading {
        check_origin(web, request.headers())?;
    }
    let (mut parts, mut body) = request.into_parts();
    let is_open = is_open(web.side, parts.uri.path());
    let session = cookie(&parts.headers, &web.cookie()).and_then(|id| web.doors.session(id));
    let session = session.filter(|session| session.kind.side() == web.side);
    if !is_open && session.is_none() {
        return Err(closed(web.side));
    }
    let mut held = None;
    if !is_reading {
        let path = parts.uri.path();
        let allowance = body::allowance(&parts.headers, path, session.as_ref(), web.doors.uploads())?;
        let fields = read_form(&parts.headers, body, &allowance).await?;
        if !is_open {
            check_token(session.as_ref(), &fields)?;
        }
        parts.extensions.insert(fields);
        (body, held) = (Body::empty(), Some(allowance));
    }
    if let Some(session) = session {
        parts.extensions.insert(session);
    }
    Ok((Request::from_parts(parts, body), held))
}

/// What is shown before anybody has come in.
fn is_open(side: Side, path: &str) -> bool {
    path.starts_with("/assets/")
        || match side {
            Side::Loopback => path.starts_with("/enter/"),
            Side::Lan => path == "/pair",
        }
}

fn check_host(web: &Web, headers: &HeaderMap) -> Result<(), Turned> {
    let host = headers.get(header::HOST).and_then(|host| host.to_str().ok()).unwrap_or_default();
    if web.hosts.iter().any(|own| own.eq_ignore_ascii_case(host)) {
        return Ok(());
    }
    let failure =
        Fault::user("page-wrong-host").with("web", web.hosts.first().map_or("127.0.0.1", String::as_str));
    Err(Turned::new(StatusCode::MISDIRECTED_REQUEST, failure))
}

fn check_origin(web: &Web, headers: &HeaderMap) -> Result<(), Turned> {
    let origin = headers.get(header::ORIGIN).and_then(|origin| origin.to_str().ok());
    let is_own = |origin: &str| {
        origin
            .strip_prefix("http://")
            .is_some_and(|host| web.hosts.iter().any(|own| own.eq_ignore_ascii_case(host)))
    };
    if origin.is_some_and(is_own) {
        return Ok(());
    }
    Err(Turned::new(StatusCode::FORBIDDEN, Fault::user("page-cross-site")))
}

fn check_token(session: Option<&Session>, fields: &Fields) -> Result<(), Turned> {
    let token = session.map(|session| session.token.as_bytes()).unwrap_or_default();
    if !token.is_empty() && is_same(token, fields.get("token").as_bytes()) {
        return Ok(());
    }
    Err(Turned::new(StatusCode::FORBIDDEN, Fault::user("page-form-outdated")))
}

/// Compares without telling by its time where two texts part.
fn is_same(one: &[u8], other: &[u8]) -> bool {
    one.len() == other.len() && one.iter().zip(other).fold(0, |sum, (a, b)| sum | (a ^ b)) == 0
}

async fn read_form(headers: &HeaderMap, body: Body, allowance: &Allowance) -> Result<Fields, Turned> {
    let kind = headers.get(header::CONTENT_TYPE).and_then(|kind| kind.to_str().ok()).unwrap_or_default();
    if !kind.starts_with("application/x-www-form-urlencoded") {
        return Err(Turned::new(StatusCode::UNSUPPORTED_MEDIA_TYPE, Fault::user("page-not-a-form")));
    }
    let bytes = body::read(body, allowance, &body::PATIENCE).await?;
    let fields = Fields::read(&bytes);
    match fields.too_long() {
        None => Ok(fields),
        Some(name) => Err(Turned::new(
            StatusCode::PAYLOAD_TOO_LARGE,
            Fault::user("page-field-too-long").with("name", name).with("text_characters", TEXT_CHARACTERS),
        )),
    }
}

/// What a browser that has not come in sees of this machine's own page.
pub(super) fn closed_here() -> Fault {
    Fault::user("page-closed")
}

fn closed(side: Side) -> Turned {
    let failure = match side {
        Side::Loopback => closed_here(),
        Side::Lan => Fault::user("page-closed-to-phone"),
    };
    Turned::new(StatusCode::FORBIDDEN, failure)
}

/// The value of one cookie.
fn cookie<'a>(headers: &'a HeaderMap, name: &str) -> Option<&'a str> {
    let all = headers.get_all(header::COOKIE).iter().filter_map(|value| value.to_str().ok());
    all.flat_map(|line| line.split(';'))
        .filter_map(|pair| pair.trim().split_once('='))
        .find(|(found, _)| *found == name)
        .map(|(_, value)| value)
}

impl Web {
    /// Cookies know hosts but not ports: each port has a name of its own.
    pub(super) fn cookie(&self) -> String {
        let port = self.hosts.first().and_then(|host| host.rsplit(':').next()).unwrap_or_default();
        format!("propagule-{port}")
    }

    /// Hands a session to the browser.
    pub(super) fn set_cookie(&self, session: &Session, mut response: Response) -> Response {
        let value = format!("{}={}; Path=/; HttpOnly; SameSite=Strict", self.cookie(), session.id);
        match value.parse() {
            Ok(value) => {
                response.headers_mut().insert(header::SET_COOKIE, value);
                response
            }
            Err(_) => StatusCode::INTERNAL_SERVER_ERROR.into_response(),
        }
    }
}
