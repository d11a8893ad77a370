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
use propagule_present::words::sharing::phones as words;

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
    let title = RoomPage::Phones.name();
    let Some(address) = doors.lan() else {
        let body = html! { h1 { (title) } p { (words::DESK_ONLY) } p { code { (words::WITH_LAN) } } };
        return shell::page(&visit, RoomPage::Phones, title, &body);
    };
    let code = doors.code(visit.web.app.clock().now()).map(|pairing| pairing.code);
    let body = html! {
        h1 { (title) }
        p { (words::WHAT_FOR) }
        div class="notice bad" { p { strong { (words::NOT_ENCRYPTED) } " " (words::WHAT_FOLLOWS) } }
        @match &code {
            Some(code) => (waiting(&visit, &address.to_string(), code)),
            None => form method="post" action="/share/phones/code" { (token(&visit)) button class="lead" { (words::MAKE_CODE) } },
        }
        (inside(&visit))
    };
    shell::page(&visit, RoomPage::Phones, title, &body)
}

fn waiting(visit: &Visit, address: &str, code: &str) -> Markup {
    let link = format!("http://{address}/pair?code={code}");
    html! {
        h2 { (words::LET_IN) }
        p { (words::HOW[0]) code { "http://" (address) "/pair" } (words::HOW[1]) }
        @if let Some(picture) = qr(&link) { div class="qr" role="img" aria-label=(words::picture_of(&link)) { (PreEscaped(picture)) } }
        p { span class="code" { (code[..4]) "-" (code[4..]) } }
        p { (words::ONE_PHONE) }
        form method="post" action="/share/phones/code" { (token(visit)) button class="quiet" { (words::ANOTHER_CODE) } }
    }
}

fn inside(visit: &Visit) -> Markup {
    let phones = visit.web.doors.phones();
    html! {
        h2 { (words::INSIDE) }
        @if phones.is_empty() { p { (words::NONE) } }
        @for phone in &phones {
            form method="post" action="/share/phones/out" {
                (token(visit))
                p class="tight" { (words::since(phone.number, &phone.since.strftime("%H:%M").to_string())) }
                button class="grave" name="number" value=(phone.number) { (words::shut(phone.number)) }
            }
        }
        @if !phones.is_empty() {
            form method="post" action="/share/phones/out" { (token(visit)) button class="grave" { (words::SHUT_ALL) } }
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
        h1 { (words::LET_THIS_IN) }
        form method="post" action="/pair" {
            div class="field" {
                label for="code" { (words::CODE) }
                span class="help" id="code-help" { (words::CODE_HELP) }
                input id="code" name="code" value=(fields.get("code")) aria-describedby="code-help" autocomplete="off" autocapitalize="characters" required;
            }
            button class="lead" { (words::LET_THIS_IN) }
        }
    };
    shell::outside(&web, None, words::LET_THIS_IN, &body)
}

async fn pair(State(web): State<Web>, fields: Fields) -> Result<Response, Turned> {
    let Some(session) = web.doors.pair(fields.get("code"), web.app.clock().now())? else {
        let failure = Fault::user("pairing-code-refused");
        return Err(Turned::new(StatusCode::FORBIDDEN, failure));
    };
    let body = html! {
        meta http-equiv="refresh" content="0;url=/today";
        h1 { (words::IS_IN) }
        p { (words::UNTIL) }
        p { a class="button lead" href="/today" { (words::GO) } }
    };
    Ok(web.set_cookie(&session, shell::outside(&web, None, words::IS_IN, &body)))
}
