//! Counting place by place: big steppers that start from the last count, one form a place, so that what is saved is
//! what was looked at.

use axum::Router;
use axum::extract::Path;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use maud::{Markup, html};

use super::card::card;
use super::kind_words;
use super::question;
use super::saved::{Answer, answer};
use super::tallied::{counted_at, first_field, marked, rest, stage_of};
use crate::web::Web;
use crate::web::fields::Fields;
use crate::web::form;
use crate::web::form::{Bad, once, token};
use crate::web::link;
use crate::web::problem::Turned;
use crate::web::shell;
use crate::web::visit::Visit;
use propagule_app::viewed;
use propagule_app::viewed::{PlaceView, TrialView};
use propagule_app::{BenchRequest, Enter};
use propagule_bench::typed::place;
use propagule_bench::{Stage, UnitKey};
use propagule_files::fault::Fault;
use propagule_present::chart::changing;
use propagule_present::outcome as present;
use propagule_present::words::rooms::RoomPage;
use propagule_present::words::tasks::{UNDO, counting};
use propagule_present::words::today as words;

/// Places on one page; forms of more would be too much for a phone.
const A_PAGE: usize = 20;

pub(super) fn routes() -> Router<Web> {
    Router::new()
        .route("/bench/trial/{code}/count/{stage}", get(show).post(save))
        .route("/bench/trial/{code}/looked", post(looked))
}

async fn show(
    visit: Visit,
    Path((code, stage)): Path<(String, String)>,
    fields: Fields,
) -> Result<Response, Turned> {
    page(&visit, &code, &stage, &fields, None).await
}

/// What the address says of how to show the page.
pub(super) struct Asked {
    pub(super) stage: Option<Stage>,
    pub(super) is_blind: bool,
    page: usize,
    /// The place to open.
    at: Option<String>,
}

async fn page(
    visit: &Visit,
    code: &str,
    word: &str,
    fields: &Fields,
    bad: Option<&Bad>,
) -> Result<Response, Turned> {
    let asked = Asked {
        stage: stage_of(word)?,
        is_blind: fields.is_on("blind"),
        page: fields.get("page").parse().unwrap_or(1).max(1),
        at: fields.owned("place").or_else(|| fields.owned("at")),
    };
    let (view, history) = {
        let code = code.to_owned();
        visit.view(move |app| Ok((viewed::trial(app, &code)?, viewed::history(app, &code)?))).await?
    };
    if view.trial.is_planned {
        return Err(Fault::user("page-trial-not-started").with("code", &view.trial.code).into());
    }
    let pages = view.places.len().div_ceil(A_PAGE).max(1);
    let at_page = asked.at.as_ref().and_then(|at| view.places.iter().position(|place| place.code == *at));
    let asked = Asked { page: at_page.map_or(asked.page, |index| index / A_PAGE + 1).min(pages), ..asked };
    let shown: Vec<&PlaceView> = view.places.iter().skip((asked.page - 1) * A_PAGE).take(A_PAGE).collect();
    let open = opened(&asked, &shown);
    let name = counting::title_of(&kind_words(&view), asked.stage, &view.trial.code);
    let address = |rest: &str| link::trial(&view.trial.code, &format!("/count/{word}{rest}"));
    let body = html! {
        (changing::symbols())
        p class="named" { span.tag.large.now { (view.trial.code) } span { i { strong { (view.trial.species) } }
            @if let Some(stage) = asked.stage { br; span class="soft" { (words::counted_so_far(view.places.iter().filter(|place| place.counted.contains(&stage)).count(), view.places.len())) } } } }
        (round(&view, asked.stage))
        h1 { (name) }
        @if let Some(entry) = fields.get("saved").parse().ok().and_then(|wanted: u64| history.entries.iter().find(|e| e.number == wanted)) {
            div.notice.toast role="status" {
                p { strong { (counting::SAVED) (present::history::stands(&history.of, entry.entry.as_ref())) } " " (words::then(open.map(|index| shown[index].code.as_str()))) }
                form method="post" action=(link::trial(&view.trial.code, "/undo")) {
                    (token(visit)) input type="hidden" name="back" value=(word);
                    @if asked.is_blind { input type="hidden" name="blind" value="yes"; }
                    button class="quiet" name="entry" value=(entry.number) { (UNDO) }
                }
            }
        }
        (looking(visit, &view, &asked, fields))
        ul class="acts" {
            li { a class="button quiet" href=(link::trial(&view.trial.code, &format!("/sheet/{word}"))) { (counting::WHOLE_SHEET) } }
            @if view.trial.arms.len() > 1 {
                li { @if asked.is_blind { a class="button quiet" href=(address("")) { (counting::SHOW_TREATMENTS) } }
                    @else { a class="button quiet" href=(address("?blind=yes")) { (counting::HIDE_TREATMENTS) } } }
            }
        }
        @if pages > 1 { (page_links(&asked, pages, &address(""))) }
        @for (index, place) in shown.iter().enumerate() {
            (card(visit, &view, place, &asked, open == Some(index), fields, bad))
        }
        @if pages > 1 { (page_links(&asked, pages, &address(""))) }
    };
    let at_trial = link::trial(&view.trial.code, "");
    // Who came from the round of the day goes back to it.
    let today = (RoomPage::Today.name(), "/today");
    let back =
        if fields.get("from") == "today" { today } else { (view.trial.code.as_str(), at_trial.as_str()) };
    let mut response = shell::task(visit, RoomPage::Trials, back, &name, &body);
    if bad.is_some() {
        *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    }
    Ok(response)
}

/// Places that a round shows as cells; more are told by their numbers alone.
const CELLS: usize = 12;

/// How far a count has come, and where the script says what comes next. A check need not go through every place.
fn round(view: &TrialView, stage: Option<Stage>) -> Markup {
    html! {
        @if let Some(stage) = stage.filter(|_| (2..=CELLS).contains(&view.places.len())) {
            div class="round" aria-hidden="true" { @for place in &view.places {
                span class=[place.counted.contains(&stage).then_some("done")] data-of=(place.code) {}
            } }
        }
        p class="soft" role="status" data-next=(words::then(Some("\u{2026}"))) data-last=(words::then(None)) hidden {}
    }
}

/// The place that was asked for, else the first that is still to be counted.
fn opened(asked: &Asked, shown: &[&PlaceView]) -> Option<usize> {
    let named = asked.at.as_ref().and_then(|at| shown.iter().position(|place| place.code == *at));
    let is_open = |place: &&PlaceView| {
        place.standing.base() > 0 && asked.stage.is_none_or(|stage| !place.counted.contains(&stage))
    };
    named.or_else(|| shown.iter().position(is_open))
}

fn page_links(asked: &Asked, pages: usize, address: &str) -> Markup {
    html! {
        nav aria-label=(counting::POTS) class="acts" {
            @for number in 1..=pages {
                a class="button quiet" href={ (address) "?page=" (number) @if asked.is_blind { "&blind=yes" } }
                    aria-current=[(number == asked.page).then_some("page")] { ((number - 1) * A_PAGE + 1) "–" }
            }
        }
    }
}

/// A check may find nothing to count.
fn looking(visit: &Visit, view: &TrialView, asked: &Asked, fields: &Fields) -> Markup {
    html! {
        @if asked.stage.is_none() {
            form method="post" action=(link::trial(&view.trial.code, "/looked")) data-keep="looked" data-back=(link::trial(&view.trial.code, "")) {
                (token(visit)) (once(&Fields::default()))
                input type="hidden" name="on" value=(fields.owned("on").unwrap_or_else(|| visit.today().to_string()));
                button class="lead" { (counting::NO_CHANGE) }
            }
            p class="soft" { (counting::ONLY_CHANGES) }
        } @else {
            p class="soft" { (counting::ADDS_UP) }
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
            let place = fields.get("place").to_owned();
            let next = next_place(&visit, &code, stage, &place).await?;
            let blind = if fields.is_on("blind") { "&blind=yes" } else { "" };
            let on = fields.given("on").map(|on| format!("&on={}", link::part(on))).unwrap_or_default();
            let back = |number: u64| match &next {
                Some(next) => link::trial(
                    &code,
                    &format!(
                        "/count/{word}?saved={number}&at={}{blind}{on}#place-{}",
                        link::part(next),
                        link::part(next)
                    ),
                ),
                None => link::trial(&code, &format!("?saved={number}")),
            };
            Ok(answer(&visit, &code, &said, back))
        }
        Err(bad) if visit.is_script => Err(bad.failure.into()),
        Err(bad) if question::is_question(&bad) => {
            let at = link::trial(&code, &format!("/count/{word}"));
            Ok(question::page(&visit, &code, &at, &fields, &bad.failure))
        }
        Err(bad) => page(&visit, &code, &word, &fields, Some(&bad)).await,
    }
}

fn nothing_counted(place: &str) -> Fault {
    Fault::user("page-nothing-counted").with("place", place)
}

async fn entered(visit: &Visit, code: &str, stage: Option<Stage>, fields: &Fields) -> Result<Answer, Bad> {
    let place = fields.get("place");
    let units = visit.units(code).await?;
    let tag = units.tag_order().into_iter().find(|tag| tag.code == place);
    let unit = match tag {
        Some(tag) => UnitKey { arm: tag.arm, replicate: tag.replicate },
        None => place::read(Some(place), &units)?,
    };
    let counts = counted_at(unit, &units, stage, fields, "")?;
    let enter = Enter {
        trial: code.to_owned(),
        stage,
        counts: vec![counts.ok_or_else(|| Bad::from(nothing_counted(place)))?],
        rest: rest(fields),
        is_blind: fields.is_on("blind"),
        common: form::common(visit, fields)?,
    };
    let saved = visit.enter(BenchRequest::Enter(enter)).await;
    let prefix = format!("{place}/");
    Ok(Answer::of(&saved.map_err(|fault| marked(fault, &prefix, first_field(stage)))?))
}

/// The place behind this one that is still to be counted; none when all are done.
async fn next_place(
    visit: &Visit,
    code: &str,
    stage: Option<Stage>,
    place: &str,
) -> Result<Option<String>, Fault> {
    let (code, place) = (code.to_owned(), place.to_owned());
    visit
        .view(move |app| {
            let places = viewed::trial(app, &code)?.places;
            let here = places.iter().position(|other| other.code == place).map_or(0, |index| index + 1);
            let is_open = |other: &&PlaceView| {
                other.standing.base() > 0 && stage.is_none_or(|stage| !other.counted.contains(&stage))
            };
            let behind = places.iter().skip(here).find(is_open);
            let before = || places.iter().take(here).find(is_open).filter(|_| stage.is_some());
            Ok(behind.or_else(before).map(|other| other.code.clone()))
        })
        .await
}

async fn looked(visit: Visit, Path(code): Path<String>, fields: Fields) -> Result<Response, Turned> {
    let common = form::common(&visit, &fields).map_err(|bad| bad.failure)?;
    let enter =
        Enter { trial: code.clone(), stage: None, counts: Vec::new(), rest: None, is_blind: false, common };
    let said = match visit.enter(BenchRequest::Enter(enter)).await {
        Ok(outcome) => Answer::of(&outcome),
        Err(failure) if !visit.is_script && !failure.possible_answers().is_empty() => {
            return Ok(question::page(&visit, &code, &link::trial(&code, "/looked"), &fields, &failure));
        }
        Err(failure) => return Err(failure.into()),
    };
    Ok(answer(&visit, &code, &said, |number| link::trial(&code, &format!("?saved={number}"))).into_response())
}
