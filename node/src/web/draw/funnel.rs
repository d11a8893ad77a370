//! How many of those put in came how far: a bar for each stage, with its denominator.

use maud::{Markup, html};

/// Width of a full bar.
const WIDE: u32 = 300;

/// Rows of words, count and denominator.
pub(in crate::web) fn funnel(rows: &[(String, u32, u32)]) -> Markup {
    html! {
        div class="figure" {
            table {
                caption { "Counts, each of all that were started" }
                thead { tr { th scope="col" { "Stage" } th scope="col" class="n" { "Count" } } }
                tbody {
                    @for (words, count, of) in rows {
                        tr {
                            th scope="row" {
                                (words)
                                (share(f64::from(*count) / f64::from((*of).max(1))))
                            }
                            td class="n" { (count) " of " (of) }
                        }
                    }
                }
            }
        }
    }
}

/// A share of one as a bar; its words stand beside it.
pub(in crate::web) fn share(share: f64) -> Markup {
    let full = (f64::from(WIDE - 2) * share.clamp(0.0, 1.0)).round() as u32;
    html! {
        svg class="bar" viewBox={ "0 0 " (WIDE) " 10" } width=(WIDE) height="10" aria-hidden="true" preserveAspectRatio="none" {
            rect class="line" x="1" y="1" width=(WIDE - 2) height="8" {}
            rect class="full" x="1" y="1" width=(full) height="8" {}
        }
    }
}
