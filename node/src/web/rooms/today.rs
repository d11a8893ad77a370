//! What is due.

use std::collections::{BTreeMap, BTreeSet};

use axum::Router;
use axum::http::header;
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use maud::{Markup, html};

use super::bench::looked;
use crate::web::Web;
use crate::web::fields::Fields;
use crate::web::form::token;
use crate::web::guard::SessionKind;
use crate::web::link;
use crate::web::problem::Turned;
use crate::web::shell;
use crate::web::visit::Visit;
use propagule_app as app;
use propagule_app::outcome::due::{DueGroup, DueLine, DueList, DueSection};
use propagule_app::viewed;
use propagule_app::viewed::LotLine;
use propagule_bench::due::{Due, DueKind, State};
use propagule_present::kind::{KindWords, capital};
use propagule_present::outcome::{archive, due as present, history, said};
use propagule_present::pages::tray;
use propagule_present::words::due as due_words;
use propagule_present::words::rooms::RoomPage;
use propagule_present::words::tasks::UNDO;
use propagule_present::words::today as words;

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/today", get(today)).route("/today/bench.ics", get(calendar))
}

async fn today(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    let (today, is_all) = (visit.today(), fields.is_on("all"));
    let (list, has_trials, owed, lots, done) = visit
        .view(move |app| {
            let list = viewed::due(app, today, is_all)?;
            let lots = viewed::lots(app, &shown_codes(&list));

            Ok((list, viewed::has_trials(app), app::archive::owed(app)?, lots, viewed::done_on(app, today)))
        })
        .await?;
    let kind = visit.session.kind;
    let trays: Vec<String> = shown_codes(&list).into_iter().take(TRAYS).collect();
    let tasks = Tasks { visit: &visit, lots: &lots, trays: &trays, kind };
    let (now, other): (Vec<&DueSection>, Vec<&DueSection>) =
        list.shown.iter().partition(|section| section.state == State::Now);
    let groups = || now.iter().flat_map(|section| &section.groups);
    let things: usize = groups().map(|group| group.lines.len()).sum();
    let benches = groups().filter(|group| group.spot.is_some()).count();
    let body = html! {
        h1 { @if things == 0 { (words::NOTHING) } @else { (words::things(things, benches)) } }
        p class="soft" { (words::long(today)) }
        (round(&done, &now, things))
        (looked::said_today(&visit, &fields))
        @if !has_trials { (beginning(kind)) }
        div class=[(things > 0).then_some("panes")] {
            div {
                @if has_trials && list.shown.is_empty() { p { (present::nothing(&list, words::long)) } }
                @for group in groups() { (tasks.card(State::Now, group)) }
            }
            div {
                @for section in other { (tasks.section(section)) }
                @if list.more > 0 { p { a href="/today?all=yes" { (due_words::no_room(list.more)) } } }
                @for fold in present::fold_lines(&list.folds).iter().flatten() { p class="soft" { (fold) } }
                @if !list.due.is_empty() {
                    @if is_all { p { a href="/today" { (words::SHOW_NEAR) } } } @else { p { a href="/today?all=yes" { (words::SHOW_ALL) } } }
                }
                (done_today(&visit, &done))
                @if let Some(last) = owed.filter(|_| kind == SessionKind::Desk) {
                    p class="soft" { (archive::is_owed(last.days_ago)) " " code { (archive::make(&last)) } }
                }
                @if list.in_calendar > 0 { p { a href="/today/bench.ics" { (words::CALENDAR) } } }
            }
        }
    };
    Ok(shell::page(&visit, RoomPage::Today, RoomPage::Today.name(), &body))
}

/// How far the round of today has come: trials that are done, of those and the ones that still wait.
fn round(done: &viewed::DoneToday, now: &[&DueSection], things: usize) -> Markup {
    let waits: BTreeSet<&str> = now
        .iter()
        .flat_map(|section| &section.groups)
        .flat_map(|group| &group.lines)
        .map(|line| line.due.trial.as_str())
        .collect();
    let done = done.trials.iter().filter(|code| !waits.contains(code.as_str())).count();
    let of = done + things;
    html! {
        @if done > 0 {
            p class="soft" { (words::so_far(done, of)) }
            @if of <= CELLS { div class="round" aria-hidden="true" { @for cell in 0..of { span class=[(cell < done).then_some("done")] {} } } }
        }
    }
}

/// What was done today, each with its Undo.
fn done_today(visit: &Visit, done: &viewed::DoneToday) -> Markup {
    let more = done.entries.len().saturating_sub(ENTRIES);
    html! {
        @if !done.entries.is_empty() {
            details class="card" {
                summary { (words::DONE) " " span class="soft" { (words::done(done.entries.len())) } }
                ul class="list" { @for viewed::Done { of, entry } in done.entries.iter().take(ENTRIES) { li class="entry" {
                    span { a href=(link::trial(&of.trial, "")) { (of.trial) } ": " (history::stands(of, entry.entry.as_ref())) }
                    form method="post" action=(link::trial(&of.trial, "/undo")) {
                        (token(visit))
                        button class="quiet" name="entry" value=(entry.number) aria-label={ (UNDO) " " (of.trial) ", " (entry.number) } { (UNDO) }
                    }
                } } }
                @if more > 0 { p class="soft" { (words::more_done(more)) } }
            }
        }
    }
}

/// Codes of the trials whose tasks are shown, each once.
fn shown_codes(list: &DueList) -> Vec<String> {
    let lines = list.shown.iter().flat_map(|section| &section.groups).flat_map(|group| &group.lines);
    let mut seen = BTreeSet::new();
    lines.map(|line| line.due.trial.clone()).filter(|code| seen.insert(code.clone())).collect()
}

/// Tasks of a bench that are seen at once; more are folded.
const ROWS: usize = 12;
/// Cells of a round; a longer one is told by its numbers alone.
const CELLS: usize = 12;
/// Entries of today that can be undone here; more stand in the history of their trials.
const ENTRIES: usize = 12;

/// Trials whose trays are drawn; more would make the page of a large nursery heavy.
const TRAYS: usize = 12;

/// How tasks are shown to somebody.
struct Tasks<'a> {
    visit: &'a Visit,
    lots: &'a BTreeMap<String, LotLine>,
    /// Codes of the trials whose trays are drawn.
    trays: &'a [String],
    kind: SessionKind,
}

impl Tasks<'_> {
    /// The tasks of one bench, and the button that looks at all of it.
    fn card(&self, state: State, group: &DueGroup) -> Markup {
        let place = present::heading(group);
        let looks = group.lines.iter().filter(|line| line.due.kind == DueKind::Check);
        let looks: Vec<&str> = looks.map(|line| line.due.trial.as_str()).collect();
        html! {
            section class="card" {
                h2 { @if place.is_empty() { (words::NO_BENCH) } @else { (place) } " " span class="soft" { (words::to_do(group.lines.len())) } }
                (self.rows(state, group))
                @if let Some(spot) = group.spot.as_deref().filter(|_| !looks.is_empty()) { (looked::due_button(self.visit, spot, &looks)) }
            }
        }
    }

    /// Tasks of another state, bench by bench on one card.
    fn section(&self, section: &DueSection) -> Markup {
        html! {
            section class="card" {
                @if section.state == State::Soon { h2 { (words::SOON) " " span class="soft" { (words::NEXT_WEEK) } } } @else { h2 { (present::state(section.state)) } }
                @for group in &section.groups {
                    @let place = present::heading(group);
                    @if !place.is_empty() { h3 { (place) } }
                    (self.rows(section.state, group))
                }
            }
        }
    }

    fn rows(&self, state: State, group: &DueGroup) -> Markup {
        let (first, folded) = group.lines.split_at(group.lines.len().min(ROWS));
        let rows = |lines: &[DueLine]| html! { ul class="list due" { @for line in lines { li { (self.row(state, line)) } } } };
        html! {
            (rows(first))
            @if !folded.is_empty() { details { summary { (words::folded(folded.len())) } (rows(folded)) } }
        }
    }

    fn row(&self, state: State, DueLine { due, in_days, others }: &DueLine) -> Markup {
        let stake = match state {
            State::Now | State::Late => "tag now",
            State::Soon => "tag soon",
            State::Asleep | State::Later => "tag",
        };
        let lot = self.lots.get(&due.trial);
        html! {
            a class="row" href=(address(due, self.kind)) {
                span class=(stake) { (due.trial) }
                " "
                span class="words" {
                    span class="what" { (capital(&due_words::task(due.kind, due.of))) (due_words::and_more(*others)) }
                    " "
                    span class="soft" { @if let Some(lot) = lot { i { (lot.species) } ", " (words::holds(lot)) ", " } (words::due_on(*in_days, due.day)) }
                }
                @if let Some((lot, row)) = lot.filter(|_| self.trays.contains(&due.trial)).and_then(|lot| Some((lot, lot.row.as_ref()?))) { span class="mini" { (tray(row, &KindWords::of(lot.kind)).small()) } }
            }
        }
    }
}

/// Where it is done.
fn address(due: &Due, kind: SessionKind) -> String {
    match due.kind {
        DueKind::Stick => link::trial(&due.trial, "/stick"),
        DueKind::Check => link::trial(&due.trial, "/count/check?from=today"),
        DueKind::Lift => link::trial(&due.trial, "/count/lift?from=today"),
        DueKind::Spring => link::trial(&due.trial, "/count/spring?from=today"),
        DueKind::WrapCut | DueKind::Suckers => link::trial(&due.trial, "/graft"),
        DueKind::PublishLift | DueKind::PublishRevision if kind == SessionKind::Desk => {
            format!("/share/publish/{}", link::part(&due.trial))
        }
        DueKind::PublishLift | DueKind::PublishRevision => link::trial(&due.trial, ""),
    }
}

fn beginning(kind: SessionKind) -> Markup {
    html! {
        p { (words::EMPTY) }
        @if kind == SessionKind::Desk { p { (words::BEGIN) } }
        ul class="acts" {
            li { a class="button lead" href="/bench/new" { (words::SET_UP) } }
            li { a class="button" href="/bench/import" { (words::IMPORT) } }
        }
    }
}

async fn calendar(visit: Visit) -> Result<Response, Turned> {
    let today = visit.today();
    let list = visit.view(move |app| viewed::due(app, today, false)).await?;
    let text = said::line(&list.calendar);
    let headers = [
        (header::CONTENT_TYPE, "text/calendar; charset=utf-8"),
        (header::CONTENT_DISPOSITION, "attachment; filename=\"bench.ics\""),
    ];
    Ok((headers, text).into_response())
}
