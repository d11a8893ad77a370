//! A new trial or batch in five steps. What was typed travels in the address from step to step, so that going back, in
//! the page or in the browser, loses nothing and no script is needed; only the last step sends it to be kept. A note is
//! private and never stands in an address: where there is one, or may be one, the form is posted instead.

mod asked;
mod choose;
mod factor;
mod heard;
mod steps;

use axum::Router;
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::{get, post};
use maud::{Markup, html};

use crate::web::Web;
use crate::web::fields::Fields;
use crate::web::form::{Bad, Form, token};
use crate::web::link;
use crate::web::problem::{Turned, of_another_kind};
use crate::web::shell;
use crate::web::visit::{Visit, go};
use propagule_app::outcome::Outcome;
use propagule_app::outcome::new_trial::NewTrialFacts;
use propagule_app::viewed;
use propagule_app::viewed::Names;
use propagule_app::{BenchRequest, NewTrial, Reply, Request};
use propagule_files::fault::Fault;
use propagule_present::words::new_trial::{self as words, SetUpStep};
use propagule_present::words::rooms::RoomPage;

/// Fields by which a form says where it is and what is wanted; they are never carried on.
const PRESSED: [&str; 4] = ["at", "go", "take", "token"];

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/bench/new", get(show).post(save)).route("/bench/caution", post(hide))
}

/// What the button of the last step sends.
const SAVE: &str = "save";

/// What is shown of a step.
struct Shown<'a> {
    visit: &'a Visit,
    form: Form<'a>,
    names: &'a Names,
    /// What the trial would be; none where it cannot be said yet.
    facts: Option<&'a NewTrialFacts>,
}

/// The word of a step in addresses.
fn word(step: SetUpStep) -> &'static str {
    match step {
        SetUpStep::Plant => "plant",
        SetUpStep::Differs => "differs",
        SetUpStep::Treatments => "treatments",
        SetUpStep::Size => "size",
        SetUpStep::Check => "check",
    }
}

fn step(word_of: &str) -> Option<SetUpStep> {
    SetUpStep::ALL.into_iter().find(|step| word(*step) == word_of)
}

fn beside(step: SetUpStep, by: isize) -> SetUpStep {
    let number = step.number().saturating_add_signed(by).clamp(1, SetUpStep::ALL.len());
    SetUpStep::ALL[number - 1]
}

async fn show(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    let names = visit.view(|app| Ok(viewed::names(app))).await?;
    let at = step(fields.get("at")).unwrap_or(SetUpStep::Plant);
    let pressed = fields.get("go").to_owned();
    let fields = match fields.owned("take") {
        Some(plant) => fields.with("species", &plant),
        None => fields,
    };
    let fields = fields.renamed(|name| (!PRESSED.contains(&name)).then(|| name.to_owned()));
    let (wanted, is_checked, fields) = match pressed.split_once('-') {
        Some(("drop", number)) => match number.parse() {
            Ok(number) => (at, false, factor::without(fields, number)),
            Err(_) => (at, false, fields),
        },
        _ if pressed == "add" => {
            let more = (factor::rows(&fields).count() + 1).min(factor::MOST).to_string();
            (at, false, fields.with("treatments", &more))
        }
        _ if pressed == "back" => (beside(at, -1), false, fields),
        _ if pressed == "next" => (beside(at, 1), true, fields),
        _ => (at, pressed == "look", fields),
    };
    let checked = if is_checked { check(&visit, &fields, at, &names).await } else { Ok(None) };
    match checked {
        Ok(_) => page(&visit, &fields, wanted, &names, None).await,
        Err(bad) => {
            let step = bad.field.as_deref().map_or(at, asked::step_of).min(at);
            page(&visit, &fields, step, &names, Some(&bad)).await
        }
    }
}

/// What the trial would be as far as its steps say; nothing is saved.
async fn check(
    visit: &Visit,
    fields: &Fields,
    step: SetUpStep,
    names: &Names,
) -> Result<Option<Box<NewTrialFacts>>, Bad> {
    let new = asked::request(visit, fields, step, names)?;
    match ask(visit, new).await {
        Ok(Reply::Proposed(outcome)) => match *outcome {
            Outcome::NewTrial(new) => Ok(Some(new)),
            _ => Err(of_another_kind().into()),
        },
        Ok(_) => Ok(None),
        Err(failure) => Err(asked::marked(failure, fields)),
    }
}

async fn ask(visit: &Visit, new: NewTrial) -> Result<Reply, Fault> {
    visit.ask(Request::Bench(Box::new(BenchRequest::New(new)))).await
}

/// A step, with what is wrong with it.
async fn page(
    visit: &Visit,
    fields: &Fields,
    step: SetUpStep,
    names: &Names,
    bad: Option<&Bad>,
) -> Result<Response, Turned> {
    let fields = asked::proposed(fields.clone(), step, names, &visit.today().to_string());
    // What a size can show, and what is to be checked, is asked anew each time it is shown.
    let facts = match step {
        SetUpStep::Size | SetUpStep::Check if bad.is_none() => {
            check(visit, &fields, step, names).await.ok().flatten()
        }
        _ => None,
    };
    let shown = Shown { visit, form: Form::new(&fields, bad), names, facts: facts.as_deref() };
    let body = body(&shown, step);
    let back = (RoomPage::Trials.room().name(), "/bench");
    let mut response = shell::task(visit, RoomPage::New, back, words::TITLE, &body);
    if bad.is_some() {
        *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    }
    Ok(response)
}

fn body(shown: &Shown<'_>, step: SetUpStep) -> Markup {
    let asked = steps::asked(shown, step);
    let is_private = step == SetUpStep::Check || has_note(shown.form.fields);
    html! {
        (steps::head(shown, step))
        (shown.form.problem())
        form class="setup" method=(if is_private { "post" } else { "get" }) action="/bench/new" {
            // The first button is the one that Enter presses.
            (steps::forward(step, true))
            input type="hidden" name="at" value=(word(step));
            @if is_private { (token(shown.visit)) }
            (carried(shown.form.fields, &asked))
            (asked)
            div class="bar" {
                @if step != SetUpStep::Plant { button class="quiet" name="go" value="back" { (words::BACK) } }
                (steps::forward(step, false))
            }
        }
        @if step == SetUpStep::Check { (steps::cautions(shown)) }
    }
}

/// What other steps ask, so that it travels on; what this step asks itself is not sent twice.
fn carried(fields: &Fields, asked: &Markup) -> Markup {
    let is_asked = |name: &str| asked.0.contains(&["name=\"", name, "\""].concat());
    html! { @for (name, text) in fields.all().filter(|(name, _)| !is_asked(name)) { input type="hidden" name=(name) value=(text); } }
}

fn has_note(fields: &Fields) -> bool {
    fields.given("note").is_some()
}

async fn hide(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    visit.bench(BenchRequest::Dismiss { caution: fields.get("caution").to_owned() }).await?;
    let kept = fields.renamed(|name| (name != "token" && name != "caution").then(|| name.to_owned()));
    if has_note(&kept) {
        return show(visit, kept).await;
    }
    Ok(go(&format!("/bench/new?{}", kept.query())))
}

async fn save(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    if !matches!(fields.get("go"), "" | SAVE) {
        return show(visit, fields).await;
    }
    let fields = fields.renamed(|name| (!PRESSED.contains(&name)).then(|| name.to_owned()));
    let names = visit.view(|app| Ok(viewed::names(app))).await?;
    let saved = match asked::request(&visit, &fields, SetUpStep::Check, &names) {
        Ok(new) => {
            let code = new.code.clone();
            let new = NewTrial { dry_run: false, ..new };
            ask(&visit, new).await.map(|_| code).map_err(|failure| asked::marked(failure, &fields))
        }
        Err(bad) => Err(bad),
    };
    match saved {
        Ok(code) => Ok(go(&link::trial(&code, "?new=yes"))),
        Err(bad) => {
            let step = bad.field.as_deref().map_or(SetUpStep::Check, asked::step_of);
            page(&visit, &fields, step, &names, Some(&bad)).await
        }
    }
}

/// The form by which a caution is hidden: what was typed so far stays.
fn hiding(visit: &Visit, fields: &Fields, id: &str, line: &str) -> Markup {
    html! {
        form method="post" action="/bench/caution" {
            (token(visit))
            input type="hidden" name="at" value=(word(SetUpStep::Check));
            @for (name, text) in fields.all() { input type="hidden" name=(name) value=(text); }
            button class="quiet" name="caution" value=(id) aria-label=(words::hide(line)) { (words::HIDE) }
        }
    }
}
