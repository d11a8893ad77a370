//! Shares of all pieces put in over time; a change fell somewhere between two days, and is drawn as that stretch.

use maud::{Markup, html};

use propagule_bench::curve::CurvePoint;
use propagule_present::words;

/// Size of the picture.
const WIDE: f64 = 320.0;
const HIGH: f64 = 160.0;
/// Room for the numbers beside it.
const SIDE: f64 = 40.0;
const FOOT: f64 = 24.0;

/// Curves of one arm with their table.
pub(in crate::web) fn curves(label: &str, points: &[CurvePoint], success: &str) -> Markup {
    let last = points.last().map_or(1, |point| point.days.max(1));
    let lines = [("rooted", "ever"), ("alive", "alive"), ("died", "dead"), ("gone", "lost or left")];
    html! {
        div class="figure" {
            svg viewBox={ "0 0 " (WIDE) " " (HIGH) } width=(WIDE) height=(HIGH) role="img" aria-label={ "Shares of all started of " (label) " over " (last) " days: ever " (success) ", alive, dead, lost or left; the table has the numbers" } {
                (frame(last))
                @for (class, name) in lines { (stretches(points, last, |point| share(point, name), class)) }
            }
            details {
                summary { "As a table: " (label) " over time" }
                table class="thirds" {
                    caption { "Of all that were started; gone: lost, sold or given; each change fell between \
                         that day and the one before" }
                    thead { tr {
                        th scope="col" { "Day" }
                        th scope="col" class="n" { "ever " (success) }
                        @for name in ["alive", "dead", "gone"] { th scope="col" class="n" { (name) } }
                    } }
                    tbody { @for point in points { tr {
                        th scope="row" { (point.on) " (day " (point.days) ")" }
                        td class="n" { (ever(point)) }
                        @for share in [point.alive, point.dead, point.lost + point.left] { td class="n" { (percent(share)) } }
                    } } }
                }
            }
        }
    }
}

/// The share that a line shows.
fn share(point: &CurvePoint, name: &str) -> Option<f64> {
    match name {
        "ever" => point.ever_rooted,
        "alive" => Some(point.alive),
        "dead" => Some(point.dead),
        _ => Some(point.lost + point.left),
    }
}

fn ever(point: &CurvePoint) -> String {
    match (point.ever_rooted, point.looked_for) {
        (Some(ever), _) => percent(ever),
        (None, 0) => "not checked".to_owned(),
        (None, of) => format!("at least {} in {of}", point.at_least),
    }
}

fn percent(share: f64) -> String {
    format!("{} %", words::percent(share))
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

/// A box over each stretch in which the share changed; blank where it is not known at either end.
fn stretches(
    points: &[CurvePoint],
    last: i32,
    share: impl Fn(&CurvePoint) -> Option<f64>,
    class: &str,
) -> Markup {
    let first = if class == "alive" { 1.0 } else { 0.0 };
    let mut before = (0, first);
    let mut boxes = Vec::new();
    for point in points {
        if let Some(now) = share(point) {
            boxes.push((before, (point.days, now)));
            before = (point.days, now);
        } else {
            before.0 = point.days;
        }
    }
    html! {
        @for ((day, from), (until, to)) in boxes {
            @let (low, high) = (from.min(to), from.max(to));
            rect class={ "stretch " (class) } x=(rounded(x(day, last))) y=(rounded(y(high))) width=(rounded(x(until, last) - x(day, last))) height=(rounded((y(low) - y(high)).max(1.2))) {}
        }
    }
}
