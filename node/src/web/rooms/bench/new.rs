//! A new trial or lot: what is the same, what is compared, how many, and what that size can show.

mod asked;

use axum::Router;
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::{get, post};
use maud::{Markup, html};
use propagule_present::words::InWords;
use propagule_protocol::Facet;

use crate::web::Web;
use crate::web::fields::Fields;
use crate::web::form::{Bad, Form, token};
use crate::web::link;
use crate::web::problem::{Turned, of_another_kind};
use crate::web::shell;
use crate::web::visit::{Visit, go};
use propagule_app::outcome::Outcome;
use propagule_app::outcome::new_trial::{CanShow, CautionFacts, NewTrialFacts};
use propagule_app::outcome::said::Said;
use propagule_app::viewed;
use propagule_app::viewed::Names;
use propagule_app::{BenchRequest, Reply, Request};
use propagule_present::chart::{Chart, Share};
use propagule_present::outcome as present;
use propagule_present::words::rooms::RoomPage;

/// Arms that the form has room for; more are written in the box below them.
const ARMS: usize = 4;
/// How a trial follows an earlier one.
const RELATIONS: [(&str, &str); 3] = [
    ("replaces", "new ones for those that failed"),
    ("regraft", "worked again on its failed stocks"),
    ("repeat", "the same question again"),
];

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/bench/new", get(show).post(save)).route("/bench/caution", post(hide))
}

async fn show(visit: Visit) -> Result<Response, Turned> {
    page(&visit, &Fields::default(), None, None).await
}

async fn page(
    visit: &Visit,
    fields: &Fields,
    bad: Option<&Bad>,
    outlook: Option<&NewTrialFacts>,
) -> Result<Response, Turned> {
    let names = visit.view(|app| Ok(viewed::names(app))).await?;
    let form = Form::new(fields, bad);
    let title = "Set up a trial or batch";
    let body = html! {
        h1 { (title) }
        @if let Some(new) = outlook { (outlook_of(visit, new)) }
        (form.problem())
        form method="post" action="/bench/new" {
            (token(visit))
            (what(&form, &names))
            (compared(&form))
            (sizes(&form))
            (more(visit, &form, &names))
            button class="lead" name="what" value="look" { "See what it can show" }
            button name="what" value="save" { "Set it up" }
        }
    };
    let mut response = shell::page(visit, RoomPage::New, title, &body);
    if bad.is_some() {
        *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    }
    Ok(response)
}

/// Words of a facet with "not said" before them.
fn words(facet: Facet) -> Vec<(&'static str, &'static str)> {
    std::iter::once(("", "not said")).chain(facet.words().into_iter().map(|word| (word, word))).collect()
}

fn what(form: &Form<'_>, names: &Names) -> Markup {
    html! {
        (form.text("code", "Your code for it", "Short enough for a tag, such as M1", ""))
        (form.suggested("species", "Plant", "Genus and species; a cultivar in single quotes", "", &names.species))
        fieldset { legend { "The same for all" }
            div class="pair" {
                (form.choice("kind", "Kind", "", "stem cutting", &words(Facet::Kind)))
                (form.choice("wood", "Wood", "", "", &words(Facet::Wood)))
                (form.choice("humidity", "Humidity", "", "", &words(Facet::Humidity)))
            }
            (form.text("medium", "Medium", "Such as peat 50 + perlite 50", ""))
            (form.text("with", "More", "Such as leaves=halved; wound=light; container=pot", ""))
        }
    }
}

fn compared(form: &Form<'_>) -> Markup {
    let choices = [
        ("auxin", "auxin"),
        ("humidity", "humidity"),
        ("medium", "medium"),
        ("leaves", "leaves kept"),
        ("wound", "wound"),
        ("wood", "wood"),
        ("form", "form"),
        ("bottom_heat", "bottom heat"),
        ("container", "container"),
        ("stratification", "stratification"),
        ("rootstock", "rootstock"),
        ("cultivar", "cultivar"),
        ("", "something else, written out"),
    ];
    let examples = [("powder", "IBA powder 3000 mg/kg"), ("none", "none"), ("", ""), ("", "")];
    html! {
        fieldset { legend { "What is compared" }
            p class="help" { "A batch compares nothing: leave all of this empty. Change one thing only; if two things \
                 change together, the trial cannot say which mattered." }
            (form.choice("facet", "The treatments differ in", "", "auxin", &choices))
            @for (number, (label, value)) in (1..=ARMS).zip(examples) {
                div class="pair" {
                    (form.text(&format!("label-{number}"), &format!("Treatment {number}"), if label.is_empty() { "" } else if number == 1 { "A short label, such as powder" } else { "Such as none" }, ""))
                    (form.text(&format!("value-{number}"), &format!("What treatment {number} gets"), value, ""))
                }
            }
            details { summary { "More treatments, or treatments that differ in more" }
                (form.lines("arms", "One treatment a line", "LABEL: key=value; key=value, such as A: leaves=halved; stock=old hedge; operator=P", ""))
            }
        }
    }
}

fn sizes(form: &Form<'_>) -> Markup {
    html! {
        fieldset { legend { "How many" }
            div class="pair" {
                (form.number("pots", "Pots per treatment", "Three or more, so that a pot can be told from a method", ""))
                (form.number("pieces", "How many in each pot", "", ""))
            }
            details { summary { "Pots shared by all treatments" }
                div class="pair" {
                    (form.number("shared", "Shared pots", "Or stock plants with one of each treatment", ""))
                    (form.number("shared_places", "Places in each", "", ""))
                }
            }
        }
    }
}

fn more(visit: &Visit, form: &Form<'_>, names: &Names) -> Markup {
    let places: Vec<(&str, &str)> = std::iter::once(("", "not said"))
        .chain(names.places.iter().map(|name| (name.as_str(), name.as_str())))
        .collect();
    html! {
        (form.day("on", "Day to put them in", "", &visit.today().to_string()))
        (form.day("lift", "Lift day, for all treatments", "May stay empty.", ""))
        details { summary { "Question, place, note and more" }
            (form.text("question", "What it is to show", "May stay empty", ""))
            @if !names.places.is_empty() { (form.choice("place", "Place", "", "", &places)) }
            (form.suggested("parent", "It follows", "An earlier trial of yours", "", &names.trials))
            (form.choice("relation", "How it follows that", "", "replaces", &RELATIONS))
            (form.suggested("entered_for", "Entered for another grower", "The name stays at home", "", &[""; 0]))
            (form.number("stock_plants", "Number of stock plants", "", ""))
            (form.text("rooted_rule", "Your rule for rooted", "Where roots are not seen, such as: resists a gentle tug", ""))
            (form.text("grade", "Your grade of a finished plant", "", ""))
            (form.lines("note", "Note", "Private; it is never published", ""))
        }
    }
}

/// What the size can show, before anything is put in.
fn outlook_of(visit: &Visit, new: &NewTrialFacts) -> Markup {
    html! {
        section aria-labelledby="outlook" {
            h2 id="outlook" { "What this size can show" }
            @match &new.can_show {
                CanShow::Lot(lot) => { (sentences(&lot.words)) }
                CanShow::Arms(arms) => {
                    @for (power, said) in arms.power.iter().zip(&arms.words) { p class="tight" { (present::said::line(said)) } (Chart::from(Share { share: power.leading() }).svg()) }
                    (sentences(&arms.words[arms.power.len()..]))
                    @if !arms.pairs.is_empty() { h3 { "What differs" } @for pair in &arms.pairs { p class="tight" { (present::said::line(&pair.words)) } } }
                }
            }
            @if !new.assured.is_empty() { h3 { "By what growers of this species reported" } @for row in &new.assured { p { (row.sentence.words()) } } }
            @for question in &new.questions { p { strong { "Unusual, is it a slip? " } (present::said::line(question)) "." } }
            @for caution in &new.cautions { (hazard(visit, caution)) }
            p { strong { "Nothing is saved yet." } " Change what you like below and look again, or set it up." }
        }
    }
}

fn sentences(all: &[Said]) -> Markup {
    html! { @for said in all { p { (present::said::line(said)) } } }
}

fn hazard(visit: &Visit, caution: &CautionFacts) -> Markup {
    let line = present::said::line(&caution.line);
    html! {
        div class="caution" {
            p class="tight" { (line) }
            form method="post" action="/bench/caution" {
                (token(visit))
                button class="quiet" name="caution" value=(caution.id) aria-label={ "Hide this season: " (line) } { "Hide this season" }
            }
        }
    }
}

async fn hide(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    visit.bench(BenchRequest::Dismiss { caution: fields.get("caution").to_owned() }).await?;
    Ok(go("/bench/new"))
}

async fn save(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    let dry_run = fields.get("what") != "save";
    let asked = match asked::request(&visit, &fields, dry_run) {
        Ok(asked) => asked,
        Err(bad) => return page(&visit, &fields, Some(&bad), None).await,
    };
    let code = asked.code.clone();
    match visit.ask(Request::Bench(Box::new(BenchRequest::New(asked)))).await {
        Ok(Reply::Proposed(outcome)) => match *outcome {
            Outcome::NewTrial(new) => page(&visit, &fields, None, Some(&new)).await,
            _ => Err(of_another_kind().into()),
        },
        Ok(_) => Ok(go(&link::trial(&code, "?new=yes"))),
        Err(failure) => {
            let bad = asked::marked(failure, &fields);
            page(&visit, &fields, Some(&bad), None).await
        }
    }
}
