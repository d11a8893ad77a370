//! Another question to the same evidence: count, outcome, whose results, groups and filters.

use maud::{Markup, html};
use propagule_protocol::Facet;

use crate::web::asked;
use crate::web::asked::Asked;
use crate::web::fields::Fields;
use crate::web::form::Form;
use propagule_app::reading::SpeciesView;
use propagule_present::kind::{detail, in_our_words};
use propagule_present::words::works::{self, methods as words};

/// The form; open where something was chosen.
pub(super) fn form(fields: &Fields, asked: &Asked, view: &SpeciesView) -> Markup {
    let form = Form::new(fields, None);
    html! {
        details open[asked.is_narrowed()] {
            summary { (words::ASK_OTHERWISE) }
            form method="get" action="/works" {
                input type="hidden" name="species" value=(asked.species().unwrap_or_default());
                div class="pair" {
                    (form.choice("stage", works::COUNT, "", "", &works::STAGES))
                    (form.choice("outcome", works::OUTCOME, "", "", &works::OUTCOMES))
                }
                (form.choice("whose", works::WHOSE, "", "", &works::WHOSE_RESULTS))
                (form.choice("by", works::SPLIT_BY, words::SPLIT_HELP, "", &groups(asked)))
                @if !view.words.is_empty() {
                    fieldset { legend { (words::ONLY_WITH) }
                        div class="pair" { @for (facet, held) in &view.words { (filter(&form, asked, facet, held)) } }
                        p class="soft" { (words::UNSTATED) }
                    }
                }
                @for (name, said) in words::TICKS { (form.tick(name, said, false)) }
                button class="lead" { (works::SHOW) }
                @if asked.is_narrowed() { a.button.quiet href={ "/works?" (Asked::usual(asked.species().unwrap_or_default()).query()) } { (words::USUAL) } }
            }
        }
    }
}

/// Facets to split by, and what is chosen now where it is a list.
fn groups(asked: &Asked) -> Vec<(String, String)> {
    let owned = |(value, said): (&str, &str)| (value.to_owned(), said.to_owned());
    let mut groups: Vec<(String, String)> = words::SPLITS.map(owned).into();
    let chosen = asked.question.grouping.by.join(",");
    if asked.question.grouping.by.len() > 1 {
        groups.push((chosen.clone(), works::plain(&chosen)));
    }
    groups.extend(Facet::ALL.iter().map(|facet| (facet.name().to_owned(), detail(facet.name()))));
    groups
}

/// Words held of one facet; one that was asked for and is not held stays choosable.
fn filter(form: &Form<'_>, asked: &Asked, facet: &str, held: &[String]) -> Markup {
    let chosen = asked
        .question
        .grouping
        .filters
        .iter()
        .find(|filter| filter.facet == facet)
        .map(|filter| &filter.value);
    let mut options = vec![(String::new(), words::ANY.to_owned())];
    options.extend(held.iter().map(|word| (word.clone(), in_our_words(facet, word))));
    if let Some(value) = chosen.filter(|value| !held.contains(value)) {
        options.push((value.clone(), value.clone()));
    }
    form.choice(&asked::has(facet), &detail(facet), "", "", &options)
}
