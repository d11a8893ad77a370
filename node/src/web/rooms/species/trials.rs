//! The evidence, trial by trial.

use axum::response::Response;
use maud::{Markup, html};

use super::{only, shown};
use crate::web::asked::Asked;
use crate::web::fields::Fields;
use crate::web::problem::Turned;
use crate::web::visit::Visit;
use propagule_app::reading;
use propagule_app::reading::TrialEvidence;
use propagule_evidence::Outcome;
use propagule_present::outcome::evidence;
use propagule_present::words::works::{self, methods as words};

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
        h1 { i { (taxon) } ": " (words::trials(view.total)) }
        p { a href={ "/works?" (asked.query()) } { (words::BACK) } }
        @if view.total == 0 { p { (words::NO_TRIAL) } }
        ul class="list" { @for line in &view.lines { li { (trial(line, asked.question.count.outcome)) } } }
        (turn(&asked, number, pages))
        @if let Some(month) = &view.data_until { p class="soft" { (words::data_until(month)) } }
    };
    Ok(shown(&visit, &words::trials_of(&taxon.to_string()), &body))
}

/// Pages before and behind; a long list names its ends and the neighbours.
fn turn(asked: &Asked, number: usize, pages: usize) -> Markup {
    let near = |page: &usize| *page == 1 || *page == pages || page.abs_diff(number) <= 2;
    html! {
        @if pages > 1 { nav aria-label=(works::PAGES) class="acts" { @for page in (1..=pages).filter(near) {
            a.button.quiet href={ "/works/trials?" (asked.query()) "&page=" (page) } aria-current=[(page == number).then_some("page")] { (page) }
        } } }
    }
}

fn trial(line: &TrialEvidence, outcome: Outcome) -> Markup {
    let marks = evidence::marks(&line.marks);
    let region = line.region.as_ref().map(evidence::region).unwrap_or_default();
    html! {
        p class="tight" {
            strong { (evidence::whose(&line.grower)) } " " span class="soft" { (words::trial(&line.trial, line.weight)) }
        }
        @for of in line.arms.iter().take(MOST_ARMS) { p class="tight" { (evidence::treatment(of, outcome)) } }
        @if line.arms.len() > MOST_ARMS { p.tight.soft { (words::more_treatments(line.arms.len() - MOST_ARMS)) } }
        @if !marks.is_empty() { p.tight.soft { (words::mind(&marks)) } }
        @if !region.is_empty() { details { summary { (words::WHERE) } p class="tight" { (region) } } }
    }
}
