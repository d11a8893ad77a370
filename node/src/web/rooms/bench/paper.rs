//! What is printed: labels, sheets, the report; and the map of the bench.

use axum::Router;
use axum::extract::Path;
use axum::http::{HeaderValue, header};
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use maud::{Markup, PreEscaped, html};
use sha2::{Digest, Sha256};

use crate::web::Web;
use crate::web::fields::Fields;
use crate::web::form;
use crate::web::form::{Form, token};
use crate::web::link;
use crate::web::problem::{Turned, nowhere, of_another_kind};
use crate::web::shell;
use crate::web::visit::{Visit, go};
use propagule_app::viewed;
use propagule_app::viewed::PlaceView;
use propagule_app::{BenchRequest, PaperKind, Reply, Request};
use propagule_files::fault::Fault;
use propagule_present::kind::KindWords;
use propagule_present::outcome::paper::Page;
use propagule_present::paper::sheet::bench_map;
use propagule_present::words::rooms::RoomPage;
use propagule_present::words::tasks::printing as words;

/// Places of which the map has a table beside it; of more, the printed sheet is the table.
const WALK: usize = 120;

pub(super) fn routes() -> Router<Web> {
    Router::new()
        .route("/bench/trial/{code}/paper/{what}", get(paper))
        .route("/bench/trial/{code}/layout", get(map).post(lay_out))
}

async fn paper(
    visit: Visit,
    Path((code, what)): Path<(String, String)>,
    fields: Fields,
) -> Result<Response, Turned> {
    let what = match what.as_str() {
        "labels" => PaperKind::Labels,
        "sheet" => PaperKind::ScoreSheet,
        "report" => PaperKind::Report,
        _ => return Err(nowhere().into()),
    };
    let request = BenchRequest::Paper {
        trial: code,
        what,
        is_blind: fields.is_on("blind"),
        is_letter: fields.is_on("letter"),
    };
    let Reply::Page { page, .. } = visit.ask(Request::Bench(Box::new(request))).await? else {
        return Err(of_another_kind().into());
    };
    Ok(printable(Page::of(&page).html()))
}

/// A page for paper carries its style in itself; that one style is allowed by its hash, and nothing else.
fn printable(page: String) -> Response {
    let style = page
        .split_once("<style>")
        .and_then(|(_, rest)| rest.split_once("</style>"))
        .map_or("", |(style, _)| style);
    let hash = STANDARD.encode(Sha256::digest(style.as_bytes()));
    let policy = format!(
        "default-src 'none'; img-src 'self'; style-src 'sha256-{hash}'; frame-ancestors 'none'; base-uri 'none'; form-action 'none'"
    );
    let mut response = ([(header::CONTENT_TYPE, "text/html; charset=utf-8")], page).into_response();
    if let Ok(policy) = HeaderValue::try_from(policy) {
        response.headers_mut().insert(header::CONTENT_SECURITY_POLICY, policy);
    }
    response
}

async fn map(visit: Visit, Path(code): Path<String>) -> Result<Response, Turned> {
    let (view, layout) =
        visit.view(move |app| Ok((viewed::trial(app, &code)?, viewed::layout(app, &code)?))).await?;
    let trial = &view.trial;
    let none = Fields::default();
    let form = Form::new(&none, None);
    let columns = trial.layout.map(|choice| choice.columns.to_string()).unwrap_or_default();
    let body = html! {
        p { a href=(link::trial(&trial.code, "")) { (trial.code) } " " i { (trial.species) } }
        h1 { (words::MAP) }
        @match &layout {
            None => p { (words::NOT_LAID_OUT) },
            Some((layout, labels)) => {
                div class="figure paper" { (PreEscaped(bench_map(layout, labels))) }
                p class="soft" { (words::how_to_read(layout.seed)) }
                @if view.places.len() <= WALK { (walk(&view.places, &words::columns(&KindWords::of_trial(trial)))) }
                @else { p { (words::IN_ORDER_OF_WALK) " " a href=(link::trial(&trial.code, "/paper/sheet")) { (words::SHEET) } } }
            }
        }
        @if trial.is_planned || layout.is_none() {
            h2 { @if layout.is_some() { (words::LAY_OUT_ANEW) } @else { (words::LAY_OUT) } }
            form method="post" {
                (token(&visit))
                (form.number("columns", words::COLUMNS, words::COLUMNS_HELP, &columns))
                (form.number("seed", words::SEED, words::SEED_HELP, ""))
                @if layout.is_some() { (form.tick("anew", words::DRAW, true)) }
                button class="lead" { (words::AT_RANDOM) }
            }
        } @else { p class="soft" { (words::PLACES_STAY) } }
    };
    Ok(shell::page(&visit, RoomPage::Trials, &words::map_of(&trial.code), &body))
}

/// The same as a table.
fn walk(places: &[PlaceView], [number_is, place_is, treatment_is, how_many]: &[String; 4]) -> Markup {
    html! {
        details { summary { (words::AS_TABLE) }
            table {
                thead { tr { th scope="col" class="n" { (number_is) } th scope="col" { (place_is) } th scope="col" { (treatment_is) } th scope="col" class="n" { (how_many) } } }
                tbody { @for (place, number) in places.iter().zip(1..) { tr {
                    td class="n" { (number) } th scope="row" { (place.code) } td { (place.arm) } td class="n" { (place.started) }
                } } }
            }
        }
    }
}

async fn lay_out(visit: Visit, Path(code): Path<String>, fields: Fields) -> Result<Response, Turned> {
    let columns = form::number(&fields, "columns").map_err(|bad| bad.failure)?.map(usize::from);
    let seed = match fields.given("seed") {
        Some(text) => Some(text.parse().map_err(|_| Fault::user("page-seed-malformed").with("text", text))?),
        None if fields.is_on("anew") => Some(u64::from(chance_seed()?)),
        None => None,
    };
    visit.bench(BenchRequest::Layout { trial: code.clone(), columns, seed }).await?;
    Ok(go(&link::trial(&code, "/layout")))
}

fn chance_seed() -> Result<u32, Fault> {
    let mut bytes = [0; 4];
    getrandom::fill(&mut bytes).map_err(|e| Fault::environment("page-no-random-seed").because(e))?;
    Ok(u32::from_le_bytes(bytes))
}
