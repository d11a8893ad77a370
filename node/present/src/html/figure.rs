//! Pictures with their words, and the same as a table for those who do not see them.

use maud::{Markup, html};

use crate::document::Figure;
use crate::markup::{phrase, table};

/// The picture with its caption and the table behind it.
pub(super) fn figure(figure: &Figure) -> Markup {
    let chart = &figure.chart;
    let behind = html! { @if let Some(summary) = chart.behind() {
        details { summary { (summary) } (table(&chart.table())) }
    } };
    match (chart.class(), &figure.caption) {
        (None, None) => html! { (chart.picture()) (behind) },
        (class, None) => html! { div class=[class] { (chart.picture()) (behind) } },
        (class, Some(caption)) => html! {
            figure class=[class] { (chart.picture()) figcaption class="legend" { (phrase(caption)) } }
            (behind)
        },
    }
}
