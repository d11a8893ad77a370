//! One trial or lot as it stands: what was put in, what became of it, what that shows, and what can be done next.

use axum::Router;
use axum::extract::Path;
use axum::response::Response;
use axum::routing::get;
use maud::{Markup, html};

use super::kind_words;
use super::pots;
use crate::web::Web;
use crate::web::draw;
use crate::web::fields::Fields;
use crate::web::form::token;
use crate::web::guard::SessionKind;
use crate::web::link;
use crate::web::problem::Turned;
use crate::web::shell;
use crate::web::shell::Room;
use crate::web::visit::Visit;
use propagule_answer::trial::NowRow;
use propagule_app::outcome::history::{EntryHistory, History};
use propagule_app::outcome::trial::{ArmStands, StageShown, TrialShown};
use propagule_app::viewed;
use propagule_app::viewed::TrialView;
use propagule_bench::Arm;
use propagule_bench::curve::CurvePoint;
use propagule_present::kind::{KindWords, capital};
use propagule_present::outcome as present;
use propagule_present::outcome::trial as words;
use propagule_present::words::pieces::states;

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/bench/trial/{code}", get(show))
}

async fn show(visit: Visit, Path(code): Path<String>, fields: Fields) -> Result<Response, Turned> {
    let (view, history) =
        visit.view(move |app| Ok((viewed::trial(app, &code)?, viewed::history(app, &code)?))).await?;
    let (trial, shown) = (&view.trial, &view.shown);
    let body = html! {
        h1 { (trial.code) " " i { (trial.species) } }
        (said(&visit, &view, &history, &fields))
        (facts(&view))
        (acts(&visit, &view))
        (pots::table(&view))
        @for left_out in &shown.left_out {
            div class="notice bad" { p { (words::contradiction(left_out, shown.kind)) } }
        }
        @for stage in &shown.stages { (findings(stage, shown)) }
        @for line in words::left_lines(shown).iter().chain(&words::after_lines(shown)) { p { (line) } }
        (pieces(shown))
        @if shown.funnel.len() > trial.arms.len() { h2 { "Stages" } (draw::funnel(&words::funnel_rows(shown))) }
        (over_time(&view))
        @if !shown.scores.is_empty() {
            h2 { (words::title_of_scores(shown.kind)) }
            @for scored in &shown.scores { p class="tight" { (words::score_line(scored, shown.kind)) } }
        }
        (paper(trial.code.as_str(), trial.arms.len()))
        (mending(&view))
    };
    let title = format!("{} {}", trial.code, trial.species);
    Ok(shell::page(&visit, Room::Bench, &title, &body))
}

/// What was just saved or undone.
fn said(visit: &Visit, view: &TrialView, history: &History, fields: &Fields) -> Markup {
    let number = |name: &str| fields.get(name).parse::<u64>().ok();
    let find = |wanted: u64| history.entries.iter().find(|entry| entry.number == wanted);
    let said = |entry: &EntryHistory| present::history::stands(&history.of, entry.entry.as_ref());
    html! {
        @if let Some(entry) = number("saved").and_then(find) {
            div class="notice" role="status" {
                p { strong { "Saved: " (said(entry)) } }
                form method="post" action=(link::trial(&view.trial.code, "/undo")) {
                    (token(visit))
                    button class="quiet" name="entry" value=(entry.number) { "Undo" }
                    a class="button quiet" href=(link::trial(&view.trial.code, &format!("/entry/{}", entry.number))) { "Correct" }
                }
            }
        }
        @if let Some(entry) = number("again").and_then(find) {
            div class="notice" role="status" {
                p { strong { "This was saved before, as entry " (entry.number) ": " (said(entry)) ". Nothing was changed." } }
                p { a class="button quiet" href=(link::trial(&view.trial.code, &format!("/entry/{}", entry.number))) { "Correct it" } }
            }
        }
        @if let Some(entry) = number("undone").and_then(find) {
            div class="notice" role="status" { p { strong { "Entry " (entry.number) " is undone." } " How it stood is kept in the history." } }
        }
        @if fields.is_on("stuck") {
            div class="notice" role="status" {
                p { strong { "Started: " (view.trial.started()) ". This number stays." } " Look again in two weeks; Today reminds you." }
                @if let Some(why) = fields.given("opening") { p { "Not announced yet: " (why) } }
            }
        }
        @if fields.is_on("new") { div class="notice" role="status" { p { strong { "Set up." } " Not started yet." } } }
        @if fields.is_on("reopened") { div class="notice" role="status" { p { strong { "Reopened." } " What the closing said of the rest is undone." } } }
        @if fields.is_on("changed") { div class="notice" role="status" { p { strong { "Corrected." } " How it was described before is kept in the history." } } }
    }
}

fn facts(view: &TrialView) -> Markup {
    let trial = &view.trial;
    html! {
        @if let Some(question) = &trial.question { p { strong { (question) } } }
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
            acts.push(("Publish".to_owned(), format!("/publish/{}", link::part(&view.trial.code))));
        }
        acts
    };
    html! {
        ul class="acts" {
            @for (index, (words, address)) in acts.iter().enumerate() {
                li { a class={ "button" @if index == 0 { " lead" } @else if index > 1 { " quiet" } } href=(address) { (words) } }
            }
        }
    }
}

fn findings(stage: &StageShown, shown: &TrialShown) -> Markup {
    let details = words::detail_lines(stage, shown.kind);
    html! {
        h2 { "What it shows at " (words::stage_heading(stage, shown.kind)) }
        @for line in words::stage_lines(stage, shown.kind) { p { (line) } }
        @if !details.is_empty() {
            details { summary { "In detail" } @for line in &details { p { (line) } } }
        }
    }
}

fn pieces(shown: &TrialShown) -> Markup {
    let arms = shown.trial.arms.iter().zip(&shown.stands).zip(&shown.now);
    html! {
        h2 { "Pieces" }
        @for ((arm, stands), now) in arms { (of_arm(shown, arm, stands, now)) }
    }
}

fn of_arm(shown: &TrialShown, arm: &Arm, stands: &ArmStands, now: &NowRow) -> Markup {
    let (method, care) = (words::facets(arm), words::care(&stands.care, shown.kind));
    html! {
        h3 { (arm.label) ": " (arm.started) " " @if shown.trial.is_planned { "planned" } @else { (KindWords::of(shown.kind).started) } }
        @if !method.is_empty() { p class="soft tight" { (method.join("; ")) } }
        @if let Some(unlisted) = &arm.unlisted { p class="soft tight" { "differs: " (unlisted) } }
        @if let Some(spot) = &stands.spot {
            p class="soft tight" { "on " a href=(link::spot(spot, "")) { (spot) } @if !care.is_empty() { "; " (care) } }
        }
        @for moved in &stands.moves { p class="soft tight" { (words::moved_to(moved)) } }
        @if now.is_entered { p class="tight" { (words::now(now, shown.kind)) } }
        @if !shown.trial.is_planned { (draw::dots(&states(&now.row, None, &KindWords::of(shown.kind)))) }
    }
}

fn over_time(view: &TrialView) -> Markup {
    let curve = |arm: &Arm| -> Vec<CurvePoint> {
        let days = view.shown.curve.iter().filter(|day| day.row.arm == arm.label);
        days.map(|day| day.row.point.clone()).collect()
    };
    let with: Vec<(&Arm, Vec<CurvePoint>)> =
        view.trial.arms.iter().map(|arm| (arm, curve(arm))).filter(|(_, curve)| !curve.is_empty()).collect();
    html! {
        @if !with.is_empty() {
            h2 { "Over time" }
            details {
                summary { "Shares " (kind_words(view).lead) " and dead by the day of each count" }
                p { span class="key" { svg viewBox="0 0 20 20" width="20" height="20" aria-hidden="true" { rect class="stretch rooted" x="2" y="4" width="16" height="12" {} } (kind_words(view).lead) }
                    span class="key" { svg viewBox="0 0 20 20" width="20" height="20" aria-hidden="true" { rect class="stretch died" x="2" y="4" width="16" height="12" {} } "dead" }
                    span class="soft" { "A change fell somewhere within its box." } }
                @for (arm, curve) in with { h3 { (arm.label) } (draw::curves(&arm.label, &curve, kind_words(view).lead)) }
            }
        }
    }
}

fn paper(code: &str, arms: usize) -> Markup {
    let at = |rest: &str| link::trial(code, rest);
    html! {
        h2 { "To print" }
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
        h2 { "Mend" }
        ul class="acts" {
            li { a class="button quiet" href=(at("/history")) { "History and corrections" } }
            li { a class="button quiet" href=(at("/describe")) { "Correct the description" } }
            li { a class="button quiet" href=(at("/close")) { @if view.is_closed { "Reopen" } @else { "Close" } } }
            li { a class="button quiet" href=(at("/private")) { @if view.trial.is_private { "Allow publishing" } @else { "Keep private" } } }
        }
    }
}
