//! The answer on one species: the sentence first, then the picture, then what stands behind it.

use axum::response::Response;
use maud::{Markup, html};

use super::{choose, plot, search, shown};
use crate::answer::pool::{NetworkAnswer, PoolAnswer};
use crate::answer::screens::whose_words;
use crate::answer::words;
use crate::answer::words::{Family, Wording};
use crate::app::reading;
use crate::app::reading::SpeciesView;
use crate::web::asked::Asked;
use crate::web::fields::Fields;
use crate::web::link;
use crate::web::plain::plain;
use crate::web::problem::Turned;
use crate::web::visit::Visit;
use propagule_evidence::Whose;

/// The page of one species; `typed` is what was asked for.
pub(super) async fn page(
    visit: &Visit,
    fields: &Fields,
    asked: Asked,
    typed: &str,
) -> Result<Response, Turned> {
    let request = asked.pool(false);
    let view = visit.view(move |app| reading::species(app, &request)).await?;
    let answer = &view.answer;
    let body = html! {
        h1 { i { (answer.species) } ": " (question(answer)) }
        @if !same_name(typed, &answer.species) { p class="soft" { "Found by \u{201c}" (typed) "\u{201d}." } }
        @if !view.also.is_empty() { p class="soft" { (plain(&words::also_counted(&view.also))) } }
        p class="say" { (plain(&answer.sentence)) }
        (suggested(answer, &asked))
        @if let Some(network) = &answer.network { p class="say" { (network.sentence) } }
        @if !answer.methods.is_empty() { (evidence(&view, &asked)) }
        @else if view.trials > 0 { (whose(&view, &asked)) (trials(&view, &asked)) }
        @if answer.methods.is_empty() && view.trials == 0 { (first()) }
        @else { (choose::form(fields, &asked, &view)) (next(answer)) }
        h2 { "Another plant" }
        (search::form(&Fields::default(), None, &[]))
        (foot(answer))
    };
    Ok(shown(visit, &answer.species, &body))
}

fn same_name(typed: &str, species: &str) -> bool {
    typed.trim().eq_ignore_ascii_case(species)
}

/// `rooted at lift`, in the words of the kind where there is only one.
pub(super) fn question(answer: &PoolAnswer) -> String {
    let wording = match answer.methods.as_slice() {
        [only] => only.facts.wording,
        _ => Wording::new(Family::Mixed, answer.outcome),
    };
    words::question_words(wording, answer.stage)
}

fn suggested(answer: &PoolAnswer, asked: &Asked) -> Markup {
    html! {
        @if !answer.suggestions.is_empty() {
            ul class="acts" { @for name in &answer.suggestions {
                li { a class="button" href={ "/species?" (asked.clone().about(name).query()) } { i { (name) } } }
            } }
        }
    }
}

fn evidence(view: &SpeciesView, asked: &Asked) -> Markup {
    let answer = &view.answer;
    html! {
        (whose(view, asked))
        (plot::plot(view))
        (plot::told(answer))
        (lives(answer))
        @for warning in &answer.warnings { p { (plain(&warning.text)) } }
        (contrasts(answer))
        @if let Some(network) = &answer.network { (ranks(network)) }
        (trials(view, asked))
        (beside(answer))
    }
}

/// Below the headlines: roots first seen after a move, and the whole life of each method.
fn lives(answer: &PoolAnswer) -> Markup {
    let several = answer.methods.len() > 1;
    html! {
        @for method in plot::in_order(answer) {
            @for moved in method.moved.iter().filter(|moved| moved.rooted > 0) {
                p { @if several { (method.method) ": " } (moved.sentence) }
            }
            @if let Some(life) = &method.whole_life {
                p { @if several { (method.method) ": " } (life.sentence) }
            }
        }
    }
}

/// Whose results these are, and the way to the others.
fn whose(view: &SpeciesView, asked: &Asked) -> Markup {
    let now = view.answer.whose;
    let other = if now == Whose::Everybody { Whose::Circle } else { Whose::Everybody };
    html! {
        @if view.has_circle {
            p { "These are the results of " strong { (whose_words(now)) } ". "
                a href={ "/species?" (asked.clone().with("whose", other.word()).query()) } { "Show those of " (whose_words(other)) } "." }
        }
    }
}

/// Most contrasts that are told.
const MOST_CONTRASTS: usize = 24;

/// Whether a verdict names one side.
fn is_told(verdict: &str) -> bool {
    [words::Verdict::Likely, words::Verdict::Better].iter().any(|told| told.word() == verdict)
}

/// What differed inside trials: what is likely first, then what cannot be told apart yet.
fn contrasts(answer: &PoolAnswer) -> Markup {
    let (likely, open): (Vec<_>, Vec<_>) =
        answer.contrasts.iter().partition(|contrast| is_told(contrast.verdict));
    let all: Vec<_> = likely.into_iter().chain(open).collect();
    html! {
        @if !all.is_empty() {
            h2 { "Side by side in the same trials" }
            ul { @for contrast in all.iter().take(MOST_CONTRASTS) { li { (contrast.sentence) } } }
            @if all.len() > MOST_CONTRASTS { p class="soft" { "And " (all.len() - MOST_CONTRASTS) " more in the file of the answer." } }
        }
    }
}

/// The chance of each method to be the best of those in one model.
fn ranks(network: &NetworkAnswer) -> Markup {
    let first = |index: &usize| network.rank_prob[*index].first().copied().unwrap_or(0.0);
    let mut order: Vec<usize> = (0..network.methods.len()).collect();
    order.sort_by(|a, b| first(b).total_cmp(&first(a)));
    html! {
        details {
            summary { "How often each method would be the best" }
            p { (network.sentence) }
            table {
                caption { "By one model over " (words::counted(network.trials, "trial", "trials")) " that held several of them" }
                thead { tr { th scope="col" { "Method" } th scope="col" { "Count" } th scope="col" { "Best, times in 100" } } }
                tbody { @for index in order.into_iter().take(plot::MOST_ROWS) { tr {
                    th scope="row" { (network.methods[index]) }
                    td { (network.rooted[index]) " of " (network.started[index]) }
                    td { (words::in_hundred(first(&index))) }
                } } }
            }
        }
    }
}

fn trials(view: &SpeciesView, asked: &Asked) -> Markup {
    html! {
        h2 { "What it rests on" }
        ul class="acts" {
            li { a class="button" href={ "/species/trials?" (asked.query()) } { (words::counted(view.trials, "trial", "trials")) ", one by one" } }
            li { a class="button quiet" href={ "/species/behind?" (asked.query()) } { "What moves the figures" } }
            li { a class="button quiet" href={ "/species/evidence.csv?" (asked.query()) } { "Counts as CSV" } }
            li { a class="button quiet" href={ "/species/answer.json?" (asked.query()) } { "Answer as JSON" } }
        }
    }
}

/// What was left out, what was opened, and other readings.
fn beside(answer: &PoolAnswer) -> Markup {
    let readings = plot::other_readings(answer);
    html! {
        @if let Some(again) = &answer.regrafts { p { (again.sentence) } }
        @if let Some(silence) = &answer.silence { p { (words::silence_words(silence)) } }
        @if !readings.is_empty() {
            details { summary { "Other readings of the same results" } @for reading in readings { p { (reading) } } }
        }
        @if !answer.left_out.is_empty() {
            details { summary { "Not counted" } ul { @for line in &answer.left_out { li { (line.count) " " (line.reason) } } } }
        }
    }
}

/// What can be done where nothing is held.
fn first() -> Markup {
    html! {
        ul class="acts" {
            li { a class="button" href="/bench/new" { "Set up a trial of it" } }
            li { a class="button quiet" href="/species" { "See what is held" } }
        }
    }
}

/// What can be done with it.
fn next(answer: &PoolAnswer) -> Markup {
    html! {
        ul class="acts" {
            li { a class="button lead" href={ "/plan/plants?species=" (link::part(&answer.species)) } { "Plan with it" } }
            li { a class="button" href="/compare" { "Compare a trial of mine" } }
        }
    }
}

fn foot(answer: &PoolAnswer) -> Markup {
    html! {
        p class="soft" {
            @match &answer.data_until { Some(month) => { "Data until " (month) ". " }, None => "Records held by this node. " }
            (words::NOT_ADVICE)
        }
    }
}
