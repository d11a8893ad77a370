//! The answer on one species: the sentence first, then the picture, then what stands behind it.

use axum::response::Response;
use maud::{Markup, html};
use propagule_present::document::Action;
use propagule_present::html::render;

use super::{choose, search, shown};
use crate::web::asked::Asked;
use crate::web::fields::Fields;
use crate::web::link;
use crate::web::problem::Turned;
use crate::web::visit::Visit;
use propagule_answer::pool::PoolAnswer;
use propagule_app::reading;
use propagule_app::reading::SpeciesView;
use propagule_evidence::Whose;
use propagule_present::screens;
use propagule_present::screens::pool::Around;
use propagule_present::words::works::{self, methods as words};

/// The page of one species; `typed` is what was asked for.
pub(super) async fn page(
    visit: &Visit,
    fields: &Fields,
    asked: Asked,
    typed: &str,
) -> Result<Response, Turned> {
    let question = asked.question.clone();
    let view = visit.view(move |app| reading::species(app, &question)).await?;
    let answer = &view.answer;
    let is_held = view.trials > 0 || !answer.methods.is_empty();
    let is_printed_only = answer.printed.as_ref().is_some_and(|printed| printed.no_grower);
    let screen = screens::pool(answer, &around(&view, &asked, typed));
    let body = html! {
        (render(&screen.head))
        @if !is_printed_only { (suggested(answer, &asked)) }
        @if is_held { (whose(&view, &asked)) (render(&screen.body)) (choose::form(fields, &asked, &view)) (next(answer)) }
        @else { (first()) }
        (render(&screen.printed))
        h2 { (words::ANOTHER_PLANT) }
        (search::form(&Fields::default(), None, &[]))
        (render(&screen.foot))
    };
    Ok(shown(visit, &answer.species, &body))
}

fn around<'a>(view: &'a SpeciesView, asked: &Asked, typed: &'a str) -> Around<'a> {
    let is_same = typed.trim().eq_ignore_ascii_case(&view.answer.species);
    let to = |label: &str, page: &str| Action::link(label, format!("/works/{page}?{}", asked.query()));
    Around {
        also: &view.also,
        found_by: (!is_same).then_some(typed),
        own: view.own.clone(),
        rests_on: vec![
            to(&words::one_by_one(view.trials), "trials"),
            to(words::WHAT_MOVES, "behind").quiet(),
            to(words::AS_CSV, "evidence.csv").quiet(),
            to(works::AS_JSON, "answer.json").quiet(),
        ],
    }
}

fn suggested(answer: &PoolAnswer, asked: &Asked) -> Markup {
    html! {
        @if !answer.suggestions.is_empty() {
            ul class="acts" { @for name in &answer.suggestions {
                li { a class="button" href={ "/works?" (asked.clone().about(name).query()) } { i { (name) } } }
            } }
        }
    }
}

/// Whose results these are, and the way to the others.
fn whose(view: &SpeciesView, asked: &Asked) -> Markup {
    let now = view.answer.whose;
    let other = if now == Whose::Everybody { Whose::Circle } else { Whose::Everybody };
    html! {
        @if view.has_circle {
            p { (words::results_of(now)) " "
                a href={ "/works?" (asked.clone().with("whose", other.word()).query()) } { (words::show_those_of(other)) } }
        }
    }
}

/// What can be done where nothing is held.
fn first() -> Markup {
    html! {
        ul class="acts" {
            li { a class="button" href="/bench/new" { (words::SET_UP_FIRST) } }
            li { a.button.quiet href="/works" { (words::SEE_HELD) } }
        }
    }
}

/// What can be done with it.
fn next(answer: &PoolAnswer) -> Markup {
    html! {
        ul class="acts" {
            li { a.button.lead href={ "/works/many?species=" (link::part(&answer.species)) } { (words::PLAN_WITH_THIS) } }
            li { a class="button" href="/works/near" { (words::COMPARE_MINE) } }
        }
    }
}
