//! Everything that was entered, and how to mend it: what was typed before is always kept.

use axum::Router;
use axum::extract::Path;
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::get;
use maud::{Markup, html};

use super::stick::{differing, put_in};
use crate::app::viewed::{self, EntryView};
use crate::app::{BenchRequest, CorrectTrial};
use crate::bench::Trial;
use crate::bench::entry::{Tally, What};
use crate::error::Failure;
use crate::web::Web;
use crate::web::fields::Fields;
use crate::web::form::{self, Bad, Form, page_links, token};
use crate::web::link;
use crate::web::problem::Turned;
use crate::web::shell::{self, Room};
use crate::web::visit::{Visit, go};

pub(super) fn routes() -> Router<Web> {
    Router::new()
        .route("/bench/trial/{code}/history", get(history))
        .route("/bench/trial/{code}/entry/{number}", get(show_entry).post(save_entry))
        .route("/bench/trial/{code}/describe", get(show_describe).post(save_describe))
}

/// `2026-07-04 10:15`.
fn minute(at: &str) -> String {
    at.chars().take(16).collect::<String>().replace('T', " ")
}

/// Entries on one page.
const A_PAGE: usize = 50;

async fn history(visit: Visit, Path(code): Path<String>, fields: Fields) -> Result<Response, Turned> {
    let (code, found) = visit.view(move |app| viewed::history(app, &code).map(|found| (code, found))).await?;
    let viewed::HistoryView { entries, changes } = found;
    let pages = entries.len().div_ceil(A_PAGE).max(1);
    let page = fields.get("page").parse().unwrap_or(1).clamp(1, pages);
    let body = html! {
        p { a href=(link::trial(&code, "")) { (code) } }
        h1 { "History of " (code) }
        @if entries.is_empty() && changes.is_empty() { p { "Nothing yet." } }
        ul class="list" { @for entry in entries.iter().rev().skip((page - 1) * A_PAGE).take(A_PAGE) { (line(&code, entry)) } }
        (page_links(&link::trial(&code, "/history"), page, pages, "Entries"))
        @if !changes.is_empty() {
            h2 { "Changes of the description" }
            ul class="list" { @for (at, what) in &changes { li { p class="tight" { (what) br; span class="soft" { (minute(at)) } } } } }
        }
    };
    Ok(shell::page(&visit, Room::Bench, &format!("History of {code}"), &body))
}

fn line(code: &str, entry: &EntryView) -> Markup {
    html! {
        li {
            p class="tight" { strong { (entry.number) } " " (entry.words) br; span class="soft" { "typed " (minute(&entry.at)) } }
            @for (words, until) in &entry.earlier { p class="tight soft" { "until " (minute(until)) ": " (words) } }
            @if entry.entry.is_some() {
                a class="button quiet" href=(link::trial(code, &format!("/entry/{}", entry.number))) aria-label={ "Correct entry " (entry.number) } { "Correct" }
            }
        }
    }
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
            Failure::expected(format!("trial \"{}\" has no entry {number}, or it is taken back", trial.code)),
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

/// Names of what can be corrected, with their words and the count in a tally.
fn parts(tally: &Tally) -> [(&'static str, &'static str, Option<u16>); 9] {
    [
        ("rooted", "Rooted (taken, germinated)", tally.rooted),
        ("finished", "At your grade", tally.finished),
        ("established", "Growing on", tally.established),
        ("callused", "Callused", tally.callused),
        ("alive", "Alive, rooted ones included", tally.alive),
        ("dead", "Dead since the count before", tally.dead),
        ("lost", "Lost since the count before", tally.lost),
        ("not-known", "Not known", tally.not_known),
        ("found-alive", "Dead before, found alive", tally.found_alive),
    ]
}

fn place_of(trial: &Trial, tally: &Tally) -> String {
    let arm = || trial.arm(tally.arm).map(|arm| arm.label.clone()).unwrap_or_default();
    tally.replicate.clone().unwrap_or_else(arm)
}

fn tally_fields(form: &Form<'_>, trial: &Trial, tally: &Tally) -> Markup {
    let place = place_of(trial, tally);
    let field = |name: &str| format!("{place}/{name}");
    let text = |count: Option<u16>| count.map(|count| count.to_string()).unwrap_or_default();
    let (used, others): (Vec<_>, Vec<_>) = parts(tally).into_iter().partition(|(.., count)| count.is_some());
    html! {
        fieldset {
            legend { (place) }
            div class="pair" { @for (name, words, count) in used { (form.number(&field(name), words, "", &text(count))) } }
            details { summary { "More of " (place) }
                div class="pair" { @for (name, words, count) in others { (form.number(&field(name), words, "", &text(count))) } }
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
    for (name, _, before) in parts(tally) {
        let now = form::number(fields, &format!("{place}/{name}"))?;
        differs |= now != before;
        typed.extend(now.map(|count| format!("{name}={count}")));
    }
    let cause = fields.given(&format!("{place}/cause"));
    differs |= cause != tally.cause.as_deref();
    typed.extend(cause.map(|cause| format!("cause={}", cause.replace([',', '='], " "))));
    for (mark, value) in &tally.marks {
        use crate::bench::Mark;
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

async fn show_describe(visit: Visit, Path(code): Path<String>) -> Result<Response, Turned> {
    describe_page(&visit, code, &Fields::default(), None).await
}

async fn describe_page(
    visit: &Visit,
    code: String,
    fields: &Fields,
    bad: Option<&Bad>,
) -> Result<Response, Turned> {
    let (view, names) = visit.view(move |app| Ok((viewed::trial(app, &code)?, viewed::names(app)))).await?;
    let trial = &view.trial;
    let form = Form::new(fields, bad);
    let text = |text: &Option<String>| text.clone().unwrap_or_default();
    let places: Vec<(&str, &str)> = std::iter::once(("", "as it is"))
        .chain(names.places.iter().map(|name| (name.as_str(), name.as_str())))
        .collect();
    let body = html! {
        p { a href=(link::trial(&trial.code, "")) { (trial.code) } }
        h1 { "Correct the description of " (trial.code) }
        (form.problem())
        form method="post" {
            (token(visit))
            (form.text("species", "Plant", "Genus and species; a cultivar in single quotes", &trial.species))
            (form.day("started_on", "Put in", "", &trial.started_on.to_string()))
            (form.day("lift", "Lift day, set in advance", "", &trial.lift_on.map(|day| day.to_string()).unwrap_or_default()))
            @if !names.places.is_empty() { (form.choice("place", "Place", "", "", &places)) }
            fieldset {
                legend { "Pieces put in" }
                p class="help" { "Only where they were miscounted: the number put in never shrinks by losses." }
                (put_in(&form, &view.places))
            }
            @for arm in &view.trial.arms {
                (form.text(&format!("arm-{}", arm.number), &format!("Mend the method of {}", arm.label), "What changes, such as auxin=none; leaves=halved. What is not named stays.", ""))
            }
            (form.text("rooted_rule", "Your rule for rooted", "Where roots are not seen, such as: resists a gentle tug", &text(&trial.rooted_rule)))
            (form.text("grade", "Your grade of a finished plant", "", &text(&trial.grade)))
            (form.lines("note", "Note", "Private; it is never published", &text(&trial.note)))
            button class="lead" { "Save the correction" }
        }
    };
    let mut response = shell::page(visit, Room::Bench, &format!("Correct {}", trial.code), &body);
    if bad.is_some() {
        *response.status_mut() = StatusCode::UNPROCESSABLE_ENTITY;
    }
    Ok(response)
}

async fn save_describe(visit: Visit, Path(code): Path<String>, fields: Fields) -> Result<Response, Turned> {
    match described(&visit, &code, &fields).await {
        Ok(()) => Ok(go(&link::trial(&code, "?changed=yes"))),
        Err(bad) => describe_page(&visit, code, &fields, Some(&bad)).await,
    }
}

async fn described(visit: &Visit, code: &str, fields: &Fields) -> Result<(), Bad> {
    let view = {
        let code = code.to_owned();
        visit.view(move |app| viewed::trial(app, &code)).await?
    };
    let started = differing(fields, &view.places)?;
    let arms = view.trial.arms.iter().filter_map(|arm| {
        fields.given(&format!("arm-{}", arm.number)).map(|facets| format!("{}: {facets}", arm.label))
    });
    let other = |name: &str, before: Option<&String>| fields.owned(name).filter(|text| Some(text) != before);
    let trial = &view.trial;
    let correct = CorrectTrial {
        trial: code.to_owned(),
        species: other("species", Some(&trial.species)),
        started_on: form::day(fields, "started_on")?.filter(|day| *day != trial.started_on),
        lift_on: form::day(fields, "lift")?.filter(|day| Some(*day) != trial.lift_on),
        place: other("place", trial.place.as_ref()),
        arms: arms.collect(),
        started,
        rooted_rule: other("rooted_rule", trial.rooted_rule.as_ref()),
        grade: other("grade", trial.grade.as_ref()),
        note: other("note", trial.note.as_ref()),
        ..CorrectTrial::default()
    };
    visit.bench(BenchRequest::CorrectTrial(correct)).await?;
    Ok(())
}
