//! Correcting an entry, or taking it back: how it stood before is kept.

use axum::Router;
use axum::extract::Path;
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::get;
use maud::{Markup, html};

use super::history::minute;
use crate::answer::words::kind::{KindWords, capital};
use crate::app::BenchRequest;
use crate::app::viewed;
use crate::web::Web;
use crate::web::fields::Fields;
use crate::web::form;
use crate::web::form::{Bad, Form, token};
use crate::web::link;
use crate::web::problem::Turned;
use crate::web::shell;
use crate::web::shell::Room;
use crate::web::visit::{Visit, go};
use propagule_bench::Trial;
use propagule_bench::entry::{Mark, Tally, What};
use propagule_files::fault::Fault;

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/bench/trial/{code}/entry/{number}", get(show_entry).post(save_entry))
}

async fn show_entry(visit: Visit, Path((code, number)): Path<(String, u64)>) -> Result<Response, Turned> {
    entry_page(&visit, code, number, &Fields::default(), None).await
}

async fn entry_page(
    visit: &Visit,
    code: String,
    number: u64,
    fields: &Fields,
    bad: Option<&Bad>,
) -> Result<Response, Turned> {
    let (trial, found) = visit
        .view(move |app| {
            let found = viewed::history(app, &code)?.entries.into_iter().find(|entry| entry.number == number);
            Ok((viewed::trial(app, &code)?.trial, found))
        })
        .await?;
    let Some((view, entry)) = found.and_then(|view| view.entry.clone().map(|entry| (view, entry))) else {
        return Err(Turned::new(
            StatusCode::NOT_FOUND,
            Fault::user("page-entry-unknown").with("trial", &trial.code).with("number", number),
        ));
    };
    let form = Form::new(fields, bad);
    let body = html! {
        p { a href=(link::trial(&trial.code, "/history")) { "History of " (trial.code) } }
        h1 { "Correct entry " (number) }
        p { "It says: " strong { (view.words) } }
        @for (words, until) in &view.earlier { p class="soft" { "until " (minute(until)) ": " (words) } }
        (form.problem())
        form method="post" {
            (token(visit))
            (form.day("on", "Day", "", &entry.on.to_string()))
            @if let What::Counted { tallies, .. } = &entry.what {
                @for tally in tallies { (tally_fields(&form, &trial, tally)) }
            }
            button class="lead" name="what" value="correct" { "Save the correction" }
            button class="grave" name="what" value="take back" { "It never happened: take it back" }
        }
        p class="soft" { "How it stood before stays in the history." }
    };
    let mut response = shell::page(visit, Room::Bench, &format!("Correct entry {number}"), &body);
    if bad.is_some() {
        *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    }
    Ok(response)
}

/// Words beside the field of a count.
fn label(count: &str, said: &KindWords) -> String {
    match count {
        "finished" => "At your grade".to_owned(),
        "alive" => format!("Alive, {} ones included", said.lead),
        "dead" => "Dead since the count before".to_owned(),
        "lost" => "Lost since the count before".to_owned(),
        "found-alive" => "Dead before, found alive".to_owned(),
        other => capital(&said.state(other)),
    }
}

fn place_of(trial: &Trial, tally: &Tally) -> String {
    let arm = || trial.arm(tally.arm).map(|arm| arm.label.clone()).unwrap_or_default();
    tally.replicate.clone().unwrap_or_else(arm)
}

fn tally_fields(form: &Form<'_>, trial: &Trial, tally: &Tally) -> Markup {
    let place = place_of(trial, tally);
    let said = KindWords::of_trial(trial);
    let field = |name: &str| format!("{place}/{name}");
    let text = |count: Option<u16>| count.map(|count| count.to_string()).unwrap_or_default();
    let (used, others): (Vec<_>, Vec<_>) = tally.counts().into_iter().partition(|(_, count)| count.is_some());
    html! {
        fieldset {
            legend { (place) }
            div class="pair" { @for (name, count) in used { (form.number(&field(name), &label(name, &said), "", &text(count))) } }
            details { summary { "More of " (place) }
                div class="pair" { @for (name, count) in others { (form.number(&field(name), &label(name, &said), "", &text(count))) } }
                (form.text(&field("cause"), "Cause", "", tally.cause.as_deref().unwrap_or_default()))
            }
        }
    }
}

async fn save_entry(
    visit: Visit,
    Path((code, number)): Path<(String, u64)>,
    fields: Fields,
) -> Result<Response, Turned> {
    if fields.get("what") == "take back" {
        let request = BenchRequest::CorrectEntry {
            trial: code.clone(),
            entry: number,
            counts: Vec::new(),
            on: None,
            take_back: true,
        };
        return match visit.bench(request).await {
            Ok(_) => Ok(go(&link::trial(&code, &format!("?undone={number}")))),
            Err(failure) => entry_page(&visit, code, number, &fields, Some(&failure.into())).await,
        };
    }
    match corrected(&visit, &code, number, &fields).await {
        Ok(()) => Ok(go(&link::trial(&code, &format!("?saved={number}")))),
        Err(bad) => entry_page(&visit, code, number, &fields, Some(&bad)).await,
    }
}

async fn corrected(visit: &Visit, code: &str, number: u64, fields: &Fields) -> Result<(), Bad> {
    let (trial, entry) = {
        let code = code.to_owned();
        visit
            .view(move |app| {
                let found =
                    viewed::history(app, &code)?.entries.into_iter().find(|entry| entry.number == number);
                Ok((viewed::trial(app, &code)?.trial, found.and_then(|view| view.entry)))
            })
            .await?
    };
    let mut counts = Vec::new();
    if let Some(What::Counted { tallies, .. }) = entry.as_ref().map(|entry| &entry.what) {
        for tally in tallies {
            counts.extend(changed(&trial, tally, fields)?);
        }
    }
    let on = form::day(fields, "on")?.filter(|on| entry.as_ref().is_none_or(|entry| entry.on != *on));
    let request =
        BenchRequest::CorrectEntry { trial: code.to_owned(), entry: number, counts, on, take_back: false };
    visit.bench(request).await?;
    Ok(())
}

/// The counts of a place as typed after a command, where they differ from the entry.
fn changed(trial: &Trial, tally: &Tally, fields: &Fields) -> Result<Option<String>, Bad> {
    let place = place_of(trial, tally);
    let (mut typed, mut differs) = (Vec::new(), false);
    for (name, before) in tally.counts() {
        let now = form::number(fields, &format!("{place}/{name}"))?;
        differs |= now != before;
        typed.extend(now.map(|count| format!("{name}={count}")));
    }
    let cause = fields.given(&format!("{place}/cause"));
    differs |= cause != tally.cause.as_deref();
    typed.extend(cause.map(|cause| format!("cause={}", cause.replace([',', '='], " "))));
    for (mark, value) in &tally.marks {
        typed.push(match value {
            Mark::Count(count) => format!("{mark}={count}"),
            Mark::None => format!("{mark}=none"),
            Mark::Some => format!("{mark}=some"),
            Mark::Most => format!("{mark}=most"),
        });
    }
    typed.extend(roots(tally));
    Ok((differs && !typed.is_empty()).then(|| format!("{place}:{}", typed.join(","))))
}

/// Root counts, longest root and grades as typed after a command.
fn roots(tally: &Tally) -> Vec<String> {
    let list = |numbers: &[u16]| numbers.iter().map(u16::to_string).collect::<Vec<_>>().join("/");
    let counts = (!tally.root_counts.is_empty()).then(|| format!("root-counts={}", list(&tally.root_counts)));
    let longest = tally.longest_root.map(|mm| format!("longest-root={mm}"));
    let grades = (!tally.grades.is_empty()).then(|| format!("grade={}", list(&tally.grades)));
    let scale = tally.grade_scale.as_ref().map(|scale| format!("scale={scale}"));
    [counts, longest, grades, scale].into_iter().flatten().collect()
}
