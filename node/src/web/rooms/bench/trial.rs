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
use propagule_present::outcome::trial as outcome;
use propagule_present::pages;
use propagule_present::words::rooms::RoomPage;
use propagule_present::words::tasks::{self, showing as words};

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
        p class="named" { span.tag.large { (trial.code) } span { i { strong { (trial.species) } } br; span class="soft" { (outcome::put_in_on(&view.shown)) } } }
        div class="panes" {
            div {
                (said(&visit, &view, &history, &fields))
                (present_html::render(&screen.answer))
                div.card.trays { (present_html::render(&screen.trays)) }
                (card(&screen.life))
                (acts(&visit, &view))
            }
            div data-beside { (card(&screen.curve)) (card(&screen.pots)) }
        }
        div class="folds" {
            (present_html::render(&screen.folds))
            details { summary { (words::ABOUT) } (facts(&view)) }
            details { summary { (words::TO_PRINT) } (paper(trial.code.as_str(), trial.arms.len())) }
            details { summary { (words::MENDING) } (mending(&view)) }
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
            div.notice.toast role="status" {
                p { strong { (words::saved(&said(entry))) } }
                form method="post" action=(link::trial(&view.trial.code, "/undo")) {
                    (token(visit))
                    button class="quiet" name="entry" value=(entry.number) { (tasks::UNDO) }
                    a.button.quiet href=(link::trial(&view.trial.code, &format!("/entry/{}", entry.number))) { (tasks::history::CORRECT) }
                }
            }
        }
        @if let Some(entry) = number("again").and_then(find) {
            div.notice.toast role="status" {
                p { strong { (words::saved_before(entry.number, &said(entry))) } }
                p { a.button.quiet href=(link::trial(&view.trial.code, &format!("/entry/{}", entry.number))) { (words::CORRECT_IT) } }
            }
        }
        @if let Some(entry) = number("undone").and_then(find) {
            (notice([&words::undone(entry.number), words::UNDONE_IS_KEPT]))
        }
        @if fields.is_on("stuck") {
            div.notice.toast role="status" {
                p { strong { (words::started(&kind_words(view), view.trial.started())) } " " (words::NEXT_LOOK) }
                @if let Some(why) = fields.given("opening") { p { (words::not_announced(why)) } }
            }
        }
        @if fields.is_on("new") { (notice(words::SET_UP)) }
        @if fields.is_on("reopened") { (notice(words::REOPENED)) }
        @if fields.is_on("changed") { (notice(words::CORRECTED)) }
    }
}

/// What happened, and what that means.
fn notice([happened, means]: [&str; 2]) -> Markup {
    html! { div.notice.toast role="status" { p { strong { (happened) } " " (means) } } }
}

fn facts(view: &TrialView) -> Markup {
    let trial = &view.trial;
    html! {
        dl class="facts" {
            dt { @if trial.is_planned { (words::PLANNED_FOR) } @else { (capital(kind_words(view).started)) } }
            dd { (kind_words(view).many(trial.started())) ", " (trial.started_on) }
            @if let Some(day) = trial.lift_on { dt { (kind_words(view).title(propagule_bench::Stage::Lift)) } dd { (day) } }
            @if let Some(place) = &trial.place { dt { (words::SITE) } dd { (place) } }
            @if let Some(parent) = &trial.parent { dt { (words::FOLLOWS) } dd { a href=(link::trial(parent, "")) { (parent) } } }
            @if let Some(other) = &trial.entered_for { dt { (words::GROWER) } dd { (other.name) } }
            @if let Some(rule) = &trial.rooted_rule { dt { (words::success_means(&kind_words(view))) } dd { (rule) } }
            @if let Some(grade) = &trial.grade { dt { (words::FINISHED_MEANS) } dd { (grade) } }
            @if let Some(note) = &trial.note { dt { (words::NOTE) } dd { (note) } }
            dt { (words::PUBLISHED) }
            dd { (words::published(view.published, view.trial.is_private)) }
            @if let Some(closed) = &view.shown.closed { dt { (words::CLOSED) } dd { (outcome::closed_line(closed, view.shown.kind)) } }
        }
    }
}

/// What can be done now, the likeliest first.
fn acts(visit: &Visit, view: &TrialView) -> Markup {
    let at = |rest: &str| link::trial(&view.trial.code, rest);
    let is_desk = visit.session.kind == SessionKind::Desk;
    let counted = |stage| view.shown.stages.iter().any(|found| found.counts.stage == stage);
    let named =
        |acts: &[(&str, &str)]| acts.iter().map(|(label, rest)| ((*label).to_owned(), at(rest))).collect();
    let acts: Vec<(String, String)> = if view.is_closed {
        named(&[(words::REOPEN, "/close"), (words::NOTE, "/note")])
    } else if view.trial.is_planned {
        named(&[(words::RECORD_START, "/stick"), (words::LAY_OUT, "/layout"), (words::NOTE, "/note")])
    } else {
        use propagule_bench::Stage;
        let lifted = counted(Stage::Lift);
        let count = |stage: Stage| (kind_words(view).title(stage), at(&format!("/count/{}", stage.word())));
        let check = || (words::CHECK.to_owned(), at("/count/check"));
        let first = if lifted { count(Stage::Spring) } else { check() };
        let second = count(if lifted { Stage::Final } else { Stage::Lift });
        let mut acts = vec![first, second];
        acts.extend(
            view.trial
                .kind()
                .is_on_stocks()
                .then(|| (words::tape_and_suckers(&kind_words(view)), at("/graft"))),
        );
        acts.push((words::MOVE_OR_SELL.to_owned(), at("/move")));
        acts.push((words::NOTE.to_owned(), at("/note")));
        if lifted {
            acts.push(check());
            acts.push((words::again(&kind_words(view), Stage::Lift), at("/count/lift")));
        } else {
            acts.push(count(Stage::Spring));
            acts.push(count(Stage::Final));
        }
        acts.push(count(Stage::Season));
        if is_desk && view.may_leave {
            acts.push((
                RoomPage::Publish.name().to_owned(),
                format!("/share/publish/{}", link::part(&view.trial.code)),
            ));
        }
        acts
    };
    let (first, more) = acts.split_at(acts.len().min(FIRST_ACTS));
    let button = |index: usize, (label, address): &(String, String)| {
        html! { li { a.button.lead[index == 0].quiet[index > 0] href=(address) { (label) } } }
    };
    html! {
        ul class="acts" { @for (index, act) in first.iter().enumerate() { (button(index, act)) } }
        @if !more.is_empty() { details class="more" { summary { (words::MORE) } ul class="acts" { @for act in more { (button(FIRST_ACTS, act)) } } } }
    }
}

fn paper(code: &str, arms: usize) -> Markup {
    let at = |rest: &str| link::trial(code, rest);
    html! {
        ul class="acts" {
            li { a.button.quiet href=(at("/paper/labels")) { (words::LABELS) } }
            @if arms > 1 { li { a.button.quiet href=(at("/paper/labels?blind=yes")) { (words::BLIND_LABELS) } } }
            li { a.button.quiet href=(at("/paper/sheet")) { (words::SHEET) } }
            @if arms > 1 { li { a.button.quiet href=(at("/paper/sheet?blind=yes")) { (words::BLIND_SHEET) } } }
            li { a.button.quiet href=(at("/paper/report")) { (words::REPORT) } }
            li { a.button.quiet href=(at("/layout")) { (words::LAYOUT) } }
        }
    }
}

fn mending(view: &TrialView) -> Markup {
    let at = |rest: &str| link::trial(&view.trial.code, rest);
    html! {
        ul class="acts" {
            li { a.button.quiet href=(at("/history")) { (words::HISTORY) } }
            li { a.button.quiet href=(at("/describe")) { (words::CORRECT_DESCRIPTION) } }
            li { a.button.quiet href=(at("/close")) { @if view.is_closed { (words::REOPEN) } @else { (words::CLOSE) } } }
            li { a.button.quiet href=(at("/private")) { @if view.trial.is_private { (words::ALLOW_PUBLISHING) } @else { (words::KEEP_PRIVATE) } } }
        }
    }
}
