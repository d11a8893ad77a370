//! Letting a phone in, and shutting it out again.

use axum::Router;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::{get, post};
use fast_qr::convert::Builder as _;
use fast_qr::convert::svg::SvgBuilder;
use fast_qr::{ECL, QRBuilder};
use maud::{Markup, PreEscaped, html};

use crate::web::Web;
use crate::web::fields::Fields;
use crate::web::form::token;
use crate::web::problem::Turned;
use crate::web::shell;
use crate::web::visit::{Visit, go};
use propagule_files::fault::Fault;
use propagule_present::words::rooms::RoomPage;

/// At the computer.
pub(super) fn routes() -> Router<Web> {
    Router::new()
        .route("/share/phones", get(show))
        .route("/share/phones/code", post(new_code))
        .route("/share/phones/out", post(shut_out))
}

/// On the phone.
pub(super) fn lan_routes() -> Router<Web> {
    Router::new().route("/pair", get(ask).post(pair))
}

async fn show(visit: Visit) -> Response {
    let doors = &visit.web.doors;
    let Some(address) = doors.lan() else {
        let body = html! {
            h1 { "Phones" }
            p { "The page is served to this computer only. To let a phone in, stop Propagule and start it with:" }
            p { code { "propagule serve --lan" } }
        };
        return shell::page(&visit, RoomPage::Phones, "Phone", &body);
    };
    let code = doors.code(visit.web.app.clock().now()).map(|pairing| pairing.code);
    let body = html! {
        h1 { "Phones" }
        p { "A phone in the same Wi-Fi can be a screen for Bench and Today while this computer is on and the node runs." }
        div class="notice bad" {
            p { strong { "The connection to the phone is not encrypted." }
                " Whoever is in the same Wi-Fi can read what the phone shows and sends, and could act as the phone. "
                "Use it in a network that you trust; otherwise use the printed sheet. Publishing, places and keys stay at this computer." }
        }
        @match &code {
            Some(code) => (waiting(&visit, &address.to_string(), code)),
            None => form method="post" action="/share/phones/code" { (token(&visit)) button class="lead" { "Make a code for a phone" } },
        }
        (inside(&visit))
    };
    shell::page(&visit, RoomPage::Phones, "Phone", &body)
}

fn waiting(visit: &Visit, address: &str, code: &str) -> Markup {
    let link = format!("http://{address}/pair?code={code}");
    html! {
        h2 { "Let a phone in" }
        p { "On the phone, read this picture with the camera, or open " code { "http://" (address) "/pair" } " and type the code." }
        @if let Some(picture) = qr(&link) { div class="qr" role="img" aria-label={ "QR code of " (link) } { (PreEscaped(picture)) } }
        p { span class="code" { (code[..4]) "-" (code[4..]) } }
        p { "It lets one phone in, within five minutes and five tries." }
        form method="post" action="/share/phones/code" { (token(visit)) button class="quiet" { "Another code" } }
    }
}

fn inside(visit: &Visit) -> Markup {
    let phones = visit.web.doors.phones();
    html! {
        h2 { "Phones that are in" }
        @if phones.is_empty() { p { "None." } }
        @for phone in &phones {
            form method="post" action="/share/phones/out" {
                (token(visit))
                p class="tight" { "Phone " (phone.number) ", let in at " (phone.since.strftime("%H:%M")) " (universal time)" }
                button class="grave" name="number" value=(phone.number) { "Shut phone " (phone.number) " out" }
            }
        }
        @if !phones.is_empty() {
            form method="post" action="/share/phones/out" { (token(visit)) button class="grave" { "Shut all out" } }
        }
    }
}

pub(super) fn qr(text: &str) -> Option<String> {
    let code = QRBuilder::new(text).ecl(ECL::M).build().ok()?;
    Some(SvgBuilder::default().margin(2).to_str(&code))
}

async fn new_code(visit: Visit) -> Result<Response, Turned> {
    visit.web.doors.new_code(visit.web.app.clock().now())?;
    Ok(go("/share/phones"))
}

async fn shut_out(visit: Visit, fields: Fields) -> Response {
    visit.web.doors.shut_out(fields.given("number").and_then(|number| number.parse().ok()));
    go("/share/phones")
}

async fn ask(State(web): State<Web>, fields: Fields) -> Response {
    let body = html! {
        h1 { "Let this phone in" }
        form method="post" action="/pair" {
            div class="field" {
                label for="code" { "Code" }
                span class="help" id="code-help" { "Eight letters and digits, as the computer shows them in Share, Phones" }
                input id="code" name="code" value=(fields.get("code")) aria-describedby="code-help" autocomplete="off" autocapitalize="characters" required;
            }
            button class="lead" { "Let this phone in" }
        }
    };
    shell::outside(&web, None, "Let this phone in", &body)
}

async fn pair(State(web): State<Web>, fields: Fields) -> Result<Response, Turned> {
    let Some(session) = web.doors.pair(fields.get("code"), web.app.clock().now())? else {
        let failure = Fault::user("pairing-code-refused");
        return Err(Turned::new(StatusCode::FORBIDDEN, failure));
    };
    let body = html! {
        meta http-equiv="refresh" content="0;url=/today";
        h1 { "This phone is in" }
        p { "It sees Today and Bench until it is shut out at the computer, or the node stops." }
        p { a class="button lead" href="/today" { "Go to Today" } }
    };
    Ok(web.set_cookie(&session, shell::outside(&web, None, "This phone is in", &body)))
}
