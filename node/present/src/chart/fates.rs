//! How the fate of a piece is drawn: shapes that differ without colour, the same at every size.

use std::fmt::Write;

use maud::{Markup, PreEscaped, html};

use super::Mark;

/// Side of the cell for which shapes are drawn.
pub(crate) const SIDE: u32 = 20;

/// A stroke of a shape: its class, and its path from the middle of a cell.
type Stroke = (&'static str, &'static str);

const fn strokes(mark: Mark) -> &'static [Stroke] {
    const RING: &str = "m-5 0a5 5 0 1 0 10 0a5 5 0 1 0-10 0";
    const SQUARE: &str = "m-4.5-4.5h9v9h-9z";
    match mark {
        Mark::Left => &[("fate solid", SQUARE)],
        Mark::Below => &[("fate open", SQUARE)],
        Mark::With => &[("fate disc", "m0-3h0"), ("fate", "m0-2v9.5m-1-8l-4 8m6-8l4 8")],
        Mark::Waiting => &[("fate", RING)],
        Mark::NotKnown => &[("fate open", "m-3-3q0-4 3-4t3 3q0 2-3 4m0 4h0")],
        Mark::Uncounted => &[("fate blank", "m0 0h0")],
        Mark::Dead => &[("fate dead", "m-4.5-4.5l9 9m-9 0l9-9")],
        Mark::Lost => &[("fate lost", RING)],
    }
}

/// All marks of one fate as a path a stroke, each mark at the middle of its cell.
pub(crate) fn marks(mark: Mark, middles: &[(u32, u32)]) -> String {
    let path = |shape: &str| {
        middles.iter().fold(String::new(), |mut path, (x, y)| {
            let _ = write!(path, "M{x} {y}{shape}");
            path
        })
    };
    let stroke = |(class, shape): &Stroke| format!("<path class=\"{class}\" d=\"{}\"/>", path(shape));
    if middles.is_empty() { String::new() } else { strokes(mark).iter().map(stroke).collect() }
}

/// One mark beside its words.
pub(crate) fn key(mark: Mark) -> Markup {
    html! { svg class="key" viewBox="0 0 20 20" width="20" height="20" aria-hidden="true" { (PreEscaped(marks(mark, &[(10, 10)]))) } }
}

/// Every mark as a symbol of its name, for pictures that change while they are looked at.
pub(crate) fn symbols() -> Markup {
    html! {
        svg class="symbols" width="0" height="0" aria-hidden="true" {
            @for mark in Mark::ALL { symbol id={ "fate-" (mark.name()) } viewBox="0 0 20 20" { (PreEscaped(marks(mark, &[(10, 10)]))) } }
        }
    }
}
