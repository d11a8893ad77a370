//! The evidence, trial by trial.

use axum::response::Response;
use maud::{Markup, html};

use super::{only, shown};
use crate::web::asked::Asked;
use crate::web::fields::Fields;
use crate::web::problem::Turned;
use crate::web::visit::Visit;
use propagule_app::reading;
use propagule_app::reading::{ArmEvidence, TrialEvidence};
use propagule_present::outcome::evidence;
use propagule_present::words;

/// Trials on one page.
const A_PAGE: usize = 50;
/// Arms of a trial that are listed.
const MOST_ARMS: usize = 6;

pub(super) async fn page(visit: Visit, fields: Fields) -> Result<Response, Turned> {
    let (asked, taxon) = only(&visit, &fields).await?;
    let number: usize = fields.get("page").parse().unwrap_or(1).max(1);
    let question = asked.question.clone();
    let skip = (number - 1).saturating_mul(A_PAGE);
    let view = visit.view(move |app| reading::trials(app, &question, skip, A_PAGE)).await?;
    let pages = view.total.div_ceil(A_PAGE);
    let body = html! {
        h1 { i { (taxon) } ": " (words::counted(view.total, "trial", "trials")) }
        p { a href={ "/works?" (asked.query()) } { "Back to the answer" } }
        @if view.total == 0 { p { "No trial here answers this." } }
        ul class="list" { @for line in &view.lines { li { (trial(line, asked.question.count.outcome.word())) } } }
        (turn(&asked, number, pages))
        @if let Some(month) = &view.data_until { p class="soft" { "Data until " (month) "." } }
    };
    Ok(shown(&visit, &format!("Trials of {taxon}"), &body))
}

/// Pages before and behind; a long list names its ends and the neighbours.
fn turn(asked: &Asked, number: usize, pages: usize) -> Markup {
    let near = |page: &usize| *page == 1 || *page == pages || page.abs_diff(number) <= 2;
    html! {
        @if pages > 1 { nav aria-label="Pages" class="acts" { @for page in (1..=pages).filter(near) {
            a class="button quiet" href={ "/works/trials?" (asked.query()) "&page=" (page) } aria-current=[(page == number).then_some("page")] { (page) }
        } } }
    }
}

fn trial(line: &TrialEvidence, outcome: &str) -> Markup {
    let marks = evidence::marks(&line.marks);
    let region = line.region.as_ref().map(evidence::region).unwrap_or_default();
    html! {
        p class="tight" {
            strong { (evidence::whose(&line.grower)) } " " span class="soft" { "trial " (line.trial)
                @if line.weight < 1.0 { ", counts " (format!("{:.0}", line.weight * 100.0)) "%" } }
        }
        @for of in line.arms.iter().take(MOST_ARMS) { p class="tight" { (arm(of, outcome)) } }
        @if line.arms.len() > MOST_ARMS { p class="tight soft" { "and " (line.arms.len() - MOST_ARMS) " more treatments" } }
        @if !marks.is_empty() { p class="tight soft" { "Mind: " (marks.join("; ")) "." } }
        @if !region.is_empty() { details { summary { "Where" } p class="tight" { (region) } } }
    }
}

fn arm(arm: &ArmEvidence, outcome: &str) -> String {
    let ArmEvidence { arm, method, differs, started, succeeded, lost, waiting, weeks } = arm;
    let method = if differs.is_empty() {
        method.clone()
    } else {
        format!("{method} ({})", evidence::differs(differs))
    };
    let mut text = match succeeded {
        Some(succeeded) => format!("Treatment {arm}, {method}: {succeeded} of {started} {outcome}"),
        None => format!("Treatment {arm}, {method}: {started} started, not counted yet"),
    };
    let more = [
        (*waiting > 0).then(|| format!("{waiting} still alive, not there yet")),
        (*lost > 0).then(|| format!("{lost} lost")),
        weeks
            .filter(|_| succeeded.is_some())
            .map(|weeks| format!("after {}", words::counted(usize::from(weeks), "week", "weeks"))),
    ];
    for part in more.into_iter().flatten() {
        text.push_str(", ");
        text.push_str(&part);
    }
    text
}
