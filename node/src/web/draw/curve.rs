//! Shares with roots and dead over time; a change fell somewhere between two counts, and is drawn as that stretch.

use maud::{Markup, html};

use crate::bench::results::CurvePoint;

/// Size of the picture.
const WIDE: f64 = 320.0;
const HIGH: f64 = 160.0;
/// Room for the numbers beside it.
const SIDE: f64 = 40.0;
const FOOT: f64 = 24.0;

/// Curves of one arm with their table.
pub(in crate::web) fn curves(label: &str, points: &[CurvePoint], success: &str) -> Markup {
    let last = points.last().map_or(1, |point| point.days.max(1));
    html! {
        div class="figure" {
            svg viewBox={ "0 0 " (WIDE) " " (HIGH) } width=(WIDE) height=(HIGH) role="img" aria-label={ "Shares " (success) " and dead of " (label) " over " (last) " days; the table has the numbers" } {
                (frame(last))
                (stretches(points, last, |point| point.rooted, "rooted"))
                (stretches(points, last, |point| point.dead, "died"))
            }
            details {
                summary { "As a table: " (label) " over time" }
                table {
                    caption { "Each change fell between that count and the one before" }
                    thead { tr { th scope="col" { "Day" } th scope="col" class="n" { (success) } th scope="col" class="n" { "dead" } th scope="col" class="n" { "still watched" } } }
                    tbody { @for point in points { tr {
                        th scope="row" { (point.on) " (day " (point.days) ")" }
                        td class="n" { (percent(point.rooted)) } td class="n" { (percent(point.dead)) } td class="n" { (point.watched) }
                    } } }
                }
            }
        }
    }
}

fn percent(share: f64) -> String {
    format!("{} %", crate::answer::words::percent(share))
}

fn x(days: i32, last: i32) -> f64 {
    SIDE + (WIDE - SIDE - 6.0) * f64::from(days.max(0)) / f64::from(last)
}

fn y(share: f64) -> f64 {
    (HIGH - FOOT) - (HIGH - FOOT - 8.0) * share
}

fn frame(last: i32) -> Markup {
    html! {
        @for share in [0.0, 0.5, 1.0] {
            line class="faint" x1=(SIDE) x2=(WIDE - 6.0) y1=(rounded(y(share))) y2=(rounded(y(share))) {}
            text x=(SIDE - 5.0) y=(rounded(y(share) + 4.0)) text-anchor="end" font-size="12" { ((share * 100.0) as u32) " %" }
        }
        text x=(SIDE) y=(HIGH - 6.0) font-size="12" { "day 0" }
        text x=(WIDE - 6.0) y=(HIGH - 6.0) text-anchor="end" font-size="12" { "day " (last) }
    }
}

fn rounded(number: f64) -> String {
    format!("{number:.1}")
}

/// A box over each stretch in which the share changed, and a line where it stood.
fn stretches(points: &[CurvePoint], last: i32, share: impl Fn(&CurvePoint) -> f64, class: &str) -> Markup {
    let mut before = (0, 0.0);
    let mut boxes = Vec::new();
    for point in points {
        let now = (point.days, share(point));
        boxes.push((before, now));
        before = now;
    }
    html! {
        @for ((day, low), (until, high)) in boxes {
            rect class={ "stretch " (class) } x=(rounded(x(day, last))) y=(rounded(y(high))) width=(rounded(x(until, last) - x(day, last))) height=(rounded((y(low) - y(high)).max(1.2))) {}
        }
    }
}
