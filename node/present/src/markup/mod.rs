//! Words and tables as HTML.

mod table;

pub(crate) use table::table;

use maud::{Markup, html};

use crate::phrase::{Phrase, Run, Style};

/// The words of a phrase.
pub(crate) fn phrase(phrase: &Phrase) -> Markup {
    html! { @for run in &phrase.runs { (words(run)) } }
}

fn words(Run { text, style }: &Run) -> Markup {
    match style {
        Style::Plain => html! { (text) },
        Style::Strong => html! { strong { (text) } },
        Style::Name => html! { i { (text) } },
        Style::Soft => html! { span class="soft" { (text) } },
        Style::Boxed => html! { span class="boxed" { (text) } },
        Style::Code => html! { code { (text) } },
        Style::Link(address) if leads_somewhere(address) => html! { a href=(address) { (text) } },
        Style::Link(_) => html! { (text) },
        Style::Break => html! { br; },
    }
}

/// Whether an address is one of a page; others, such as scripts, are no links.
pub(crate) fn leads_somewhere(address: &str) -> bool {
    ["/", "#", "?", "http://", "https://", "mailto:"].iter().any(|start| address.starts_with(start))
}

/// How many are not shown.
pub(crate) fn left(words: Option<String>) -> Markup {
    html! { @if let Some(words) = words { p class="soft" { (words) } } }
}
