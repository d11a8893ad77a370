//! The marks of a row as SVG, and what they mean.

use maud::{Markup, html};

use super::{ForestRow, Key, KeyMark, Reading};
use crate::svg::{Scale, WIDE};

/// Height of a row, and of the second line of one.
const ROW: f64 = 30.0;
const SECOND: f64 = 16.0;
/// Middle of the first line.
const MIDDLE: f64 = 18.0;
/// Largest and smallest dot.
const LARGEST: f64 = 9.0;
const SMALLEST: f64 = 3.0;

/// The row as a picture.
pub(super) fn row(row: &ForestRow, scale: Scale) -> Markup {
    let high = if row.everybody.is_some() { ROW + SECOND } else { ROW };
    html! {
        svg viewBox={ "0 0 " (WIDE) " " (high) } width=(WIDE) height=(high) role="img" aria-label=(row.said) {
            (scale.grid(high))
            @match row.reading {
                Reading::Average { rate, interval, range } => {
                    (whiskers(scale, range))
                    (block(scale, interval, MIDDLE, 7.0, "full"))
                    circle class="full" cx=(scale.x(rate)) cy=(MIDDLE) r=(radius(row.share_of_most)) {}
                }
                Reading::Count { rate, interval } => {
                    (block(scale, interval, MIDDLE, 8.0, "open"))
                    @if let Some(rate) = rate { circle class="ring" cx=(scale.x(rate)) cy=(MIDDLE) r=(radius(row.share_of_most)) {} }
                }
            }
            @if let Some((rate, interval)) = row.everybody {
                (block(scale, interval, ROW + 4.0, 4.0, "open thin"))
                circle class="ring thin" cx=(scale.x(rate)) cy=(ROW + 4.0) r="4" {}
            }
            @if let Some(own) = row.own_rate() { (own_mark(scale.x(own))) }
        }
    }
}

/// Area of a dot goes by its weight; it never vanishes.
fn radius(share_of_most: f64) -> f64 {
    let radius = LARGEST * share_of_most.clamp(0.0, 1.0).sqrt();
    (radius.max(SMALLEST) * 10.0).round() / 10.0
}

/// A thin line with ends.
fn whiskers(scale: Scale, [low, high]: [f64; 2]) -> Markup {
    let (low, high) = (scale.x(low), scale.x(high));
    html! { path class="line" d={ "M" (low) " " (MIDDLE - 5.0) "v10m0-5H" (high) "m0-5v10" } {} }
}

fn block(scale: Scale, [low, high]: [f64; 2], middle: f64, thick: f64, class: &str) -> Markup {
    let (from, to) = (scale.x(low), scale.x(high));
    let wide = ((to - from).max(1.0) * 10.0).round() / 10.0;
    html! { rect class=(class) x=(from) y=(middle - thick / 2.0) width=(wide) height=(thick) {} }
}

/// A wedge that points down at the reader's own rate.
fn own_mark(x: f64) -> Markup {
    html! { path class="own" d={ "M" (x) " 10l-6-9h12z" } {} }
}

/// A mark with what it means.
pub(super) fn key(key: &Key) -> Markup {
    let drawn = match key.mark {
        KeyMark::Average => {
            html! { rect class="full" x="2" y="6" width="30" height="7" {} circle class="full" cx="17" cy="9.5" r="7" {} }
        }
        KeyMark::Range => html! { path class="line" d="M2 4.5v10m0-5H32m0-5v10" {} },
        KeyMark::Count => html! { rect class="open" x="2" y="5.5" width="30" height="8" {} },
        KeyMark::Own => own_mark(17.0),
        KeyMark::Everybody => {
            html! { rect class="open thin" x="2" y="7.5" width="30" height="4" {} circle class="ring thin" cx="17" cy="9.5" r="4" {} }
        }
    };
    html! { span class="key" { svg viewBox="0 0 34 18" width="34" height="18" aria-hidden="true" { (drawn) } (key.words) } " " }
}

#[cfg(test)]
mod tests {
    use super::radius;

    #[test]
    fn dots_grow_by_area_and_never_vanish() {
        assert_eq!((radius(1.0), radius(0.25), radius(0.0)), (9.0, 4.5, 3.0));
    }
}
