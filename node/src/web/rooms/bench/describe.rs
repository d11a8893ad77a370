//! Correcting the description of a trial: how it was described before is kept.

use axum::Router;
use axum::extract::Path;
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::get;
use maud::html;

use super::kind_words;
use super::stick::{differing, put_in};
use crate::grammar;
use crate::web::Web;
use crate::web::fields::Fields;
use crate::web::form;
use crate::web::form::{Bad, Form, token};
use crate::web::link;
use crate::web::problem::Turned;
use crate::web::shell;
use crate::web::visit::{Visit, go};
use propagule_app::viewed;
use propagule_app::{ArmGiven, BenchRequest, CorrectTrial};
use propagule_bench::doing::Doing;
use propagule_files::fault::Fault;
use propagule_present::words::forms::{NOTE, NOTE_HELP};
use propagule_present::words::new_trial::PLANT;
use propagule_present::words::rooms::RoomPage;
use propagule_present::words::tasks::{correcting, describing as words, sticking};

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/bench/trial/{code}/describe", get(show).post(save))
}

async fn show(visit: Visit, Path(code): Path<String>) -> Result<Response, Turned> {
    page(&visit, code, &Fields::default(), None).await
}

async fn page(visit: &Visit, code: String, fields: &Fields, bad: Option<&Bad>) -> Result<Response, Turned> {
    let (view, names) = visit.view(move |app| Ok((viewed::trial(app, &code)?, viewed::names(app)))).await?;
    let trial = &view.trial;
    let form = Form::new(fields, bad);
    let text = |text: &Option<String>| text.clone().unwrap_or_default();
    let places: Vec<(&str, &str)> = std::iter::once(("", words::AS_IT_IS))
        .chain(names.places.iter().map(|name| (name.as_str(), name.as_str())))
        .collect();
    let (kind, title) = (kind_words(&view), words::title(&trial.code));
    let body = html! {
        p { a href=(link::trial(&trial.code, "")) { (trial.code) } }
        h1 { (title) }
        (form.problem())
        form method="post" {
            (token(visit))
            (form.text("species", PLANT.label, PLANT.help, &trial.species))
            (form.day("started_on", &words::day(&kind), "", &trial.started_on.to_string()))
            (form.day("lift", &words::lift_day(&kind), "", &trial.lift_on.map(|day| day.to_string()).unwrap_or_default()))
            @if !names.places.is_empty() { (form.choice("place", words::SITE, "", "", &places)) }
            fieldset {
                legend { (sticking::number(&kind)) }
                p class="help" { (words::NUMBER_HELP) }
                (put_in(&form, &view.places))
            }
            @for arm in &view.trial.arms {
                (form.text(&method(arm.number), &words::method_of(&arm.label), &words::method_help(), ""))
            }
            (form.text("rooted_rule", &words::rule(&kind), kind.rule_example(), &text(&trial.rooted_rule)))
            (form.text("grade", words::STANDARD, "", &text(&trial.grade)))
            (form.lines("note", NOTE, NOTE_HELP, &text(&trial.note)))
            button class="lead" { (correcting::CORRECT) }
        }
    };
    let mut response = shell::page(visit, RoomPage::Trials, &title, &body);
    if bad.is_some() {
        *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    }
    Ok(response)
}

async fn save(visit: Visit, Path(code): Path<String>, fields: Fields) -> Result<Response, Turned> {
    match described(&visit, &code, &fields).await {
        Ok(()) => Ok(go(&link::trial(&code, "?changed=yes"))),
        Err(bad) => page(&visit, code, &fields, Some(&bad)).await,
    }
}

async fn described(visit: &Visit, code: &str, fields: &Fields) -> Result<(), Bad> {
    let view = {
        let code = code.to_owned();
        visit.view(move |app| viewed::trial(app, &code)).await?
    };
    let differing = differing(fields, &view.places)?;
    let started = differing.iter().map(|text| grammar::pots::started(Doing::PuttingIn, text));
    let started = started.collect::<Result<_, _>>().map_err(|failure| Bad::field("put", failure))?;
    let mut mended = Vec::new();
    for arm in &view.trial.arms {
        let name = method(arm.number);
        let Some(text) = fields.given(&name) else { continue };
        let said = grammar::arm::facts(visit.hearing(Doing::Correcting), text)
            .map_err(|failure| Bad::field(&name, failure))?;
        mended.push((arm.number, ArmGiven { label: arm.label.clone(), said }));
    }
    let other = |name: &str, before: Option<&String>| fields.owned(name).filter(|text| Some(text) != before);
    let trial = &view.trial;
    let correct = CorrectTrial {
        trial: code.to_owned(),
        species: other("species", Some(&trial.species)),
        started_on: form::day(fields, "started_on")?.filter(|day| *day != trial.started_on),
        lift_on: form::day(fields, "lift")?.filter(|day| Some(*day) != trial.lift_on),
        place: other("place", trial.place.as_ref()),
        arms: mended.iter().map(|(_, arm)| arm.clone()).collect(),
        started,
        rooted_rule: other("rooted_rule", trial.rooted_rule.as_ref()),
        grade: other("grade", trial.grade.as_ref()),
        note: other("note", trial.note.as_ref()),
        ..CorrectTrial::default()
    };
    let mended: Vec<u8> = mended.into_iter().map(|(number, _)| number).collect();
    let saved = visit.bench(BenchRequest::CorrectTrial(correct)).await;
    saved.map_err(|failure| marked(failure, &mended, fields))?;
    Ok(())
}

/// A fault with the field of the form that it is about.
fn marked(failure: Fault, mended: &[u8], fields: &Fields) -> Bad {
    let field = failure.field.as_deref().map(|path| match path.split_once('.') {
        Some(("arms", rest)) => {
            let index = rest.split('.').next().and_then(|index| index.parse::<usize>().ok());
            index.and_then(|index| mended.get(index)).map_or_else(|| path.to_owned(), |arm| method(*arm))
        }
        Some(("started", _)) if fields.given("put").is_some() => "put".to_owned(),
        Some(("started", place)) => format!("put-{place}"),
        _ => path.to_owned(),
    });
    Bad { failure, field }
}

/// The name of the field that mends the method of an arm.
fn method(arm: u8) -> String {
    format!("arm-{arm}")
}
