//! A whole sheet at once, in the order in which it was printed: one reads aloud, the other types.

use axum::Router;
use axum::extract::Path;
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::get;
use maud::{Markup, html};

use super::kind_words;
use super::question;
use super::saved::{Answer, answer};
use super::tallied::{counted, counted_at, first_field, marked, rest, stage_of};
use crate::web::Web;
use crate::web::fields::Fields;
use crate::web::form;
use crate::web::form::{Bad, Form, token};
use crate::web::link;
use crate::web::problem::Turned;
use crate::web::shell;
use crate::web::visit::Visit;
use propagule_app::viewed;
use propagule_app::viewed::{PlaceView, TrialView};
use propagule_app::{BenchRequest, Enter};
use propagule_bench::Stage;
use propagule_files::fault::Fault;
use propagule_present::words::headline;
use propagule_present::words::rooms::RoomPage;
use propagule_present::words::tasks::{REST, counting};

/// Rows on one page.
const A_PAGE: usize = 60;

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/bench/trial/{code}/sheet/{stage}", get(show).post(save))
}

async fn show(
    visit: Visit,
    Path((code, word)): Path<(String, String)>,
    fields: Fields,
) -> Result<Response, Turned> {
    page(&visit, code, &word, fields.get("page").parse().unwrap_or(1), &Fields::default(), None).await
}

async fn page(
    visit: &Visit,
    code: String,
    word: &str,
    page: usize,
    fields: &Fields,
    bad: Option<&Bad>,
) -> Result<Response, Turned> {
    let stage = stage_of(word)?;
    let view = visit.view(move |app| viewed::trial(app, &code)).await?;
    let pages = view.places.len().div_ceil(A_PAGE).max(1);
    let page = page.clamp(1, pages);
    let shown: Vec<&PlaceView> = view.places.iter().skip((page - 1) * A_PAGE).take(A_PAGE).collect();
    let form = Form::new(fields, bad);
    let title = counting::sheet_of(&kind_words(&view), stage, &view.trial.code);
    let address = link::trial(&view.trial.code, &format!("/sheet/{word}"));
    let body = html! {
        p { a href=(link::trial(&view.trial.code, &format!("/count/{word}"))) { (headline::BY_POT) } }
        h1 { (title) }
        p class="soft" { (counting::SHEET_HELP) }
        @if pages > 1 {
            nav aria-label=(counting::ROWS) class="acts" { @for number in 1..=pages {
                a class="button quiet" href={ (address) "?page=" (number) } aria-current=[(number == page).then_some("page")] { ((number - 1) * A_PAGE + 1) "–" }
            } }
        }
        (form.problem())
        form method="post" action=(address) data-keep="sheet" data-back=(link::trial(&view.trial.code, "")) {
            (token(visit))
            input type="hidden" name="page" value=(page);
            (table(&form, &view, &shown, stage))
            @if stage.is_some() { (form.choice("rest", REST, "", "", &counting::RESTS)) }
            (form.tick("blind", counting::BLIND, false))
            (form.common(visit))
            button class="lead" { (counting::SAVE_SHEET) }
        }
    };
    let mut response = shell::page(visit, RoomPage::Trials, &title, &body);
    if bad.is_some() {
        *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    }
    Ok(response)
}

fn table(form: &Form<'_>, view: &TrialView, shown: &[&PlaceView], stage: Option<Stage>) -> Markup {
    let Some(first) = shown.first() else { return html! {} };
    let heads = counted(view, first, stage);
    html! {
        table class="sheet" {
            @if stage == Some(Stage::Final) { caption { (counting::what_heads_mean(heads.first().map_or("", |count| count.words.as_str()))) } }
            thead { tr { th scope="col" { (counting::PLACE) } @for count in &heads { th scope="col" { (counting::head(count.name, &count.words)) } } } }
            tbody { @for place in shown { tr {
                th scope="row" { (place.code) br; span class="soft" { (counting::left(place.standing.base())) } }
                @for count in counted(view, place, stage) {
                    @let name = format!("{}/{}", place.code, count.name);
                    // A piece that died since is one tap at a check.
                    td data-minus=[(stage.is_none() && count.name == "alive").then_some(count.from)] { input id=(form.id(&name)) name=(name) value=(form.value(&name, "")) aria-invalid=[form.wrong(&name).map(|_| "true")] aria-label={ (place.code) ", " (counting::head(count.name, &count.words)) }
                        inputmode="numeric" pattern="[0-9]*" autocomplete="off"; }
                }
            } } }
        }
    }
}

async fn save(
    visit: Visit,
    Path((code, word)): Path<(String, String)>,
    fields: Fields,
) -> Result<Response, Turned> {
    let stage = stage_of(&word)?;
    match entered(&visit, &code, stage, &fields).await {
        Ok(said) => {
            Ok(answer(&visit, &code, &said, |number| link::trial(&code, &format!("?saved={number}"))))
        }
        Err(bad) if visit.is_script => Err(bad.failure.into()),
        Err(bad) if question::is_question(&bad) => {
            let at = link::trial(&code, &format!("/sheet/{word}"));
            Ok(question::page(&visit, &code, &at, &fields, &bad.failure))
        }
        Err(bad) => {
            let at = fields.get("page").parse().unwrap_or(1);
            page(&visit, code, &word, at, &fields, Some(&bad)).await
        }
    }
}

async fn entered(visit: &Visit, code: &str, stage: Option<Stage>, fields: &Fields) -> Result<Answer, Bad> {
    let places = {
        let code = code.to_owned();
        visit.view(move |app| Ok(viewed::trial(app, &code)?.places)).await?
    };
    let units = visit.units(code).await?;
    let mut counts = Vec::new();
    for place in &places {
        counts.extend(counted_at(place.unit.clone(), &units, stage, fields, &format!("{}/", place.code))?);
    }
    if counts.is_empty() {
        return Err(Fault::user("page-sheet-empty").into());
    }
    let enter = Enter {
        trial: code.to_owned(),
        stage,
        counts,
        rest: rest(fields),
        is_blind: fields.is_on("blind"),
        common: form::common(visit, fields)?,
    };
    let saved = visit.enter(BenchRequest::Enter(enter)).await;
    Ok(Answer::of(&saved.map_err(|fault| marked(fault, "", first_field(stage)))?))
}
