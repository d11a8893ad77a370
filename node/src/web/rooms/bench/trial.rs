//! One trial or lot as it stands: what was put in, what became of it, what that shows, and what can be done next.

use axum::Router;
use axum::extract::Path;
use axum::response::Response;
use axum::routing::get;
use maud::{Markup, html};

use super::kind_words;
use crate::web::Web;
use crate::web::fields::Fields;
use crate::web::form::token;
use crate::web::guard::SessionKind;
use crate::web::link;
use crate::web::problem::Turned;
use crate::web::shell;
use crate::web::visit::Visit;
use propagule_app::outcome::history::{EntryHistory, History};
use propagule_app::viewed;
use propagule_app::viewed::TrialView;
use propagule_present::document::Document;
use propagule_present::html as present_html;
use propagule_present::kind::capital;
use propagule_present::outcome as present;
use propagule_present::outcome::trial as words;
use propagule_present::pages;
use propagule_present::words::rooms::RoomPage;

/// Actions that are seen at once; the others are under More.
const FIRST_ACTS: usize = 3;

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/bench/trial/{code}", get(show))
}

async fn show(visit: Visit, Path(code): Path<String>, fields: Fields) -> Result<Response, Turned> {
    let (view, history) =
        visit.view(move |app| Ok((viewed::trial(app, &code)?, viewed::history(app, &code)?))).await?;
    let trial = &view.trial;
    let screen = pages::trial(&view, visit.today());
    let body = html! {
        p class="named" { span class="tag large" { (trial.code) } span { i { strong { (trial.species) } } br; span class="soft" { (words::put_in_on(&view.shown)) } } }
        div class="panes" {
            div {
                (said(&visit, &view, &history, &fields))
                (present_html::render(&screen.answer))
                div class="card trays" { (present_html::render(&screen.trays)) }
                (card(&screen.life))
                (acts(&visit, &view))
            }
            div data-beside { (card(&screen.curve)) (card(&screen.pots)) }
        }
        div class="folds" {
            (present_html::render(&screen.folds))
            details { summary { "About this trial" } (facts(&view)) }
            details { summary { "To print" } (paper(trial.code.as_str(), trial.arms.len())) }
            details { summary { "History, corrections, closing" } (mending(&view)) }
        }
    };
    let title = format!("{} {}", trial.code, trial.species);
    let back = (RoomPage::Trials.name(), "/bench");
    Ok(shell::under(&visit, RoomPage::Trials, back, &title, &body))
}

/// A part of the screen on a card of its own; nothing where there is none.
fn card(part: &Document) -> Markup {
    html! { @if !part.is_empty() { div class="card" { (present_html::render(part)) } } }
}

/// What was just saved or undone.
fn said(visit: &Visit, view: &TrialView, history: &History, fields: &Fields) -> Markup {
    let number = |name: &str| fields.get(name).parse::<u64>().ok();
    let find = |wanted: u64| history.entries.iter().find(|entry| entry.number == wanted);
    let said = |entry: &EntryHistory| present::history::stands(&history.of, entry.entry.as_ref());
    html! {
        @if let Some(entry) = number("saved").and_then(find) {
            div class="notice toast" role="status" {
                p { strong { "Saved: " (said(entry)) } }
                form method="post" action=(link::trial(&view.trial.code, "/undo")) {
                    (token(visit))
                    button class="quiet" name="entry" value=(entry.number) { "Undo" }
                    a class="button quiet" href=(link::trial(&view.trial.code, &format!("/entry/{}", entry.number))) { "Correct" }
                }
            }
        }
        @if let Some(entry) = number("again").and_then(find) {
            div class="notice toast" role="status" {
                p { strong { "This was saved before, as entry " (entry.number) ": " (said(entry)) ". Nothing was changed." } }
                p { a class="button quiet" href=(link::trial(&view.trial.code, &format!("/entry/{}", entry.number))) { "Correct it" } }
            }
        }
        @if let Some(entry) = number("undone").and_then(find) {
            div class="notice toast" role="status" { p { strong { "Entry " (entry.number) " is undone." } " How it stood is kept in the history." } }
        }
        @if fields.is_on("stuck") {
            div class="notice toast" role="status" {
                p { strong { "Started: " (view.trial.started()) ". This number stays." } " Look again in two weeks; Today reminds you." }
                @if let Some(why) = fields.given("opening") { p { "Not announced yet: " (why) } }
            }
        }
        @if fields.is_on("new") { div class="notice toast" role="status" { p { strong { "Set up." } " Not started yet." } } }
        @if fields.is_on("reopened") { div class="notice toast" role="status" { p { strong { "Reopened." } " What the closing said of the rest is undone." } } }
        @if fields.is_on("changed") { div class="notice toast" role="status" { p { strong { "Corrected." } " How it was described before is kept in the history." } } }
    }
}

fn facts(view: &TrialView) -> Markup {
    let trial = &view.trial;
    html! {
        dl class="facts" {
            dt { @if trial.is_planned { "Planned for" } @else { (capital(kind_words(view).started)) } }
            dd { (kind_words(view).many(trial.started())) ", " (trial.started_on) }
            @if let Some(day) = trial.lift_on { dt { (kind_words(view).title(propagule_bench::Stage::Lift)) } dd { (day) } }
            @if let Some(place) = &trial.place { dt { "Place" } dd { (place) } }
            @if let Some(parent) = &trial.parent { dt { "Follows" } dd { a href=(link::trial(parent, "")) { (parent) } } }
            @if let Some(other) = &trial.entered_for { dt { "Grower" } dd { (other.name) } }
            @if let Some(rule) = &trial.rooted_rule { dt { (capital(kind_words(view).lead)) " means" } dd { (rule) } }
            @if let Some(grade) = &trial.grade { dt { "Finished means" } dd { (grade) } }
            @if let Some(note) = &trial.note { dt { "Note" } dd { (note) } }
            dt { "Published" }
            dd { @match view.published { Some(revision) => { "revision " (revision) }, None => "no" } @if view.trial.is_private { ", private: it stays at home" } }
            @if let Some(closed) = &view.shown.closed { dt { "Closed" } dd { (words::closed_line(closed, view.shown.kind)) } }
        }
    }
}

/// What can be done now, the likeliest first.
fn acts(visit: &Visit, view: &TrialView) -> Markup {
    let at = |rest: &str| link::trial(&view.trial.code, rest);
    let is_desk = visit.session.kind == SessionKind::Desk;
    let counted = |stage| view.shown.stages.iter().any(|found| found.counts.stage == stage);
    let named =
        |acts: &[(&str, &str)]| acts.iter().map(|(words, rest)| ((*words).to_owned(), at(rest))).collect();
    let acts: Vec<(String, String)> = if view.is_closed {
        named(&[("Reopen", "/close"), ("Note", "/note")])
    } else if view.trial.is_planned {
        named(&[("Record the start", "/stick"), ("Lay the pots out", "/layout"), ("Note", "/note")])
    } else {
        use propagule_bench::Stage;
        let lifted = counted(Stage::Lift);
        let count = |stage: Stage| (kind_words(view).title(stage), at(&format!("/count/{}", stage.word())));
        let check = || ("Check".to_owned(), at("/count/check"));
        let first = if lifted { count(Stage::Spring) } else { check() };
        let second = count(if lifted { Stage::Final } else { Stage::Lift });
        let mut acts = vec![first, second];
        acts.extend(view.trial.kind().is_on_stocks().then(|| ("Wrap and suckers".to_owned(), at("/graft"))));
        acts.push(("Move or sell".to_owned(), at("/move")));
        acts.push(("Note".to_owned(), at("/note")));
        if lifted {
            acts.push(check());
            acts.push((format!("{} again", kind_words(view).title(Stage::Lift)), at("/count/lift")));
        } else {
            acts.push(count(Stage::Spring));
            acts.push(count(Stage::Final));
        }
        acts.push(count(Stage::Season));
        if is_desk && view.may_leave {
            acts.push(("Publish".to_owned(), format!("/share/publish/{}", link::part(&view.trial.code))));
        }
        acts
    };
    let (first, more) = acts.split_at(acts.len().min(FIRST_ACTS));
    let button = |index: usize, (words, address): &(String, String)| {
        html! { li { a class={ "button" @if index == 0 { " lead" } @else { " quiet" } } href=(address) { (words) } } }
    };
    html! {
        ul class="acts" { @for (index, act) in first.iter().enumerate() { (button(index, act)) } }
        @if !more.is_empty() { details class="more" { summary { "More" } ul class="acts" { @for act in more { (button(FIRST_ACTS, act)) } } } }
    }
}

fn paper(code: &str, arms: usize) -> Markup {
    let at = |rest: &str| link::trial(code, rest);
    html! {
        ul class="acts" {
            li { a class="button quiet" href=(at("/paper/labels")) { "Labels" } }
            @if arms > 1 { li { a class="button quiet" href=(at("/paper/labels?blind=yes")) { "Labels without treatments" } } }
            li { a class="button quiet" href=(at("/paper/sheet")) { "Sheet to count on" } }
            @if arms > 1 { li { a class="button quiet" href=(at("/paper/sheet?blind=yes")) { "Sheet without treatments" } } }
            li { a class="button quiet" href=(at("/paper/report")) { "Report" } }
            li { a class="button quiet" href=(at("/layout")) { "Map of the bench" } }
        }
    }
}

fn mending(view: &TrialView) -> Markup {
    let at = |rest: &str| link::trial(&view.trial.code, rest);
    html! {
        ul class="acts" {
            li { a class="button quiet" href=(at("/history")) { "History and corrections" } }
            li { a class="button quiet" href=(at("/describe")) { "Correct the description" } }
            li { a class="button quiet" href=(at("/close")) { @if view.is_closed { "Reopen" } @else { "Close" } } }
            li { a class="button quiet" href=(at("/private")) { @if view.trial.is_private { "Allow publishing" } @else { "Keep private" } } }
        }
    }
}
