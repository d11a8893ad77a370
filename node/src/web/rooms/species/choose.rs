//! Another question to the same evidence: count, outcome, whose results, groups and filters.

use maud::{Markup, html};
use propagule_protocol::Facet;

use crate::web::asked;
use crate::web::asked::Asked;
use crate::web::fields::Fields;
use crate::web::form::Form;
use propagule_app::reading::SpeciesView;
use propagule_evidence::{Outcome, Stage};

/// Choices of a count.
pub(in crate::web::rooms) const STAGES: [(&str, &str); 4] = [
    ("", "at lift"),
    (Stage::Season.word(), "at the end of the season"),
    (Stage::Spring.word(), "in spring"),
    (Stage::Final.word(), "at the final count"),
];

/// Choices of an outcome.
pub(in crate::web::rooms) const OUTCOMES: [(&str, &str); 6] = [
    ("", "the usual: rooted; finished at the final count"),
    (Outcome::Rooted.word(), "rooted (taken, germinated)"),
    (Outcome::Alive.word(), "alive"),
    (Outcome::Callused.word(), "callused"),
    (Outcome::Established.word(), "established"),
    (Outcome::Final.word(), "finished"),
];

/// Choices of whose results count.
pub(in crate::web::rooms) const WHOSE: [(&str, &str); 6] = [
    ("", "the usual: growers I trust, where I chose some"),
    ("everybody", "everybody"),
    ("circle", "growers I trust"),
    ("friends-of-friends", "friends and theirs"),
    ("friends", "friends"),
    ("mine", "mine"),
];

/// The form; open where something was chosen.
pub(super) fn form(fields: &Fields, asked: &Asked, view: &SpeciesView) -> Markup {
    let form = Form::new(fields, None);
    html! {
        details open[asked.is_narrowed()] {
            summary { "Ask otherwise: count, groups, filters, whose results" }
            form method="get" action="/works" {
                input type="hidden" name="species" value=(asked.species().unwrap_or_default());
                div class="pair" {
                    (form.choice("stage", "Count", "", "", &STAGES))
                    (form.choice("outcome", "What counts", "", "", &OUTCOMES))
                }
                (form.choice("whose", "Whose results", "", "", &WHOSE))
                (form.choice("by", "Split methods by", "Usual: kind, wood and humidity of cuttings; form of grafts; pretreatment of seed", "", &groups(asked)))
                @if !view.words.is_empty() {
                    fieldset { legend { "Only treatments with" }
                        div class="pair" { @for (facet, words) in &view.words { (filter(&form, asked, facet, words)) } }
                        p class="soft" { "A treatment where nobody stated it does not count as having it." }
                    }
                }
                (form.tick("replicated", "Compare only in trials with several pots per treatment", false))
                (form.tick("opened", "Only trials announced before their first count", false))
                (form.tick("transcribed", "Results transcribed from print too", false))
                (form.tick("regrafts", "Stocks worked again after a graft failed too", false))
                (form.tick("unchecked", "Growers not known here yet, too", false))
                button class="lead" { "Show" }
                @if asked.is_narrowed() { a class="button quiet" href={ "/works?" (Asked::usual(asked.species().unwrap_or_default()).query()) } { "The usual question" } }
            }
        }
    }
}

/// Facets to split by, and what is chosen now where it is a list.
fn groups(asked: &Asked) -> Vec<(String, String)> {
    let plain = |name: &str| name.replace('_', " ");
    let mut groups = vec![
        (String::new(), "nothing more".to_owned()),
        ("none".to_owned(), "nothing at all: all methods together".to_owned()),
        ("path".to_owned(), "where survivors were moved to".to_owned()),
    ];
    let chosen = asked.question.grouping.by.join(",");
    if asked.question.grouping.by.len() > 1 {
        groups.push((chosen.clone(), plain(&chosen.replace(',', ", "))));
    }
    groups.extend(Facet::ALL.iter().map(|facet| (facet.name().to_owned(), plain(facet.name()))));
    groups
}

/// Words held of one facet; one that was asked for and is not held stays choosable.
fn filter(form: &Form<'_>, asked: &Asked, facet: &str, words: &[String]) -> Markup {
    let chosen = asked
        .question
        .grouping
        .filters
        .iter()
        .find(|filter| filter.facet == facet)
        .map(|filter| &filter.value);
    let mut options = vec![(String::new(), "any".to_owned())];
    options.extend(words.iter().map(|word| (word.clone(), word.clone())));
    if let Some(value) = chosen.filter(|value| !words.contains(value)) {
        options.push((value.clone(), value.clone()));
    }
    form.choice(&asked::has(facet), &facet.replace('_', " "), "", "", &options)
}
