//! Sentences about a treatment over time.

use super::sentences::{per_cent, when};
use crate::kind::KindWords;
use propagule_bench::curve::CurvePoint;

/// Heading of a treatment's curve: what its shares are of, and where a change fell.
pub fn over_time(label: &str, started: u16, words: &KindWords) -> String {
    format!(
        "{label} over time: shares of the {started} {}; each change fell between that day and the one before",
        words.started
    )
}

/// One day of a treatment's curve, with the estimate of the share that has the outcome by then.
pub fn curve_point(point: &CurvePoint, estimate: f64, words: &KindWords) -> String {
    let row = &point.row;
    let ever = match (point.ever_rooted, point.looked_for) {
        (Some(ever), _) => format!(
            "{} {} so far of {} ({}), {} {}",
            point.at_least,
            words.lead,
            row.started,
            per_cent(ever),
            row.waiting,
            words.green
        ),
        (None, 0) => words.not_looked_for(),
        (None, looked_for) => at_least(point.at_least, looked_for, words),
    };
    let estimate = match point.ever_rooted {
        Some(_) => format!("; estimate without those gone {}", per_cent(estimate)),
        None => String::new(),
    };
    format!(
        "{}  day {:>3}  {ever}, {} alive ({}), {} dead, {} lost, {} gone{estimate}",
        when(words, &point.on),
        point.days,
        row.alive(),
        per_cent(point.alive),
        row.dead,
        row.lost,
        row.left_finished + row.left_below
    )
}

/// What is known while the outcome was looked for in some pots only.
pub fn at_least(count: u32, looked_for: u32, words: &KindWords) -> String {
    let least = if count == 0 { "" } else { "at least " };
    format!("{least}{count} {} so far, in the pots with {looked_for} {}", words.lead, words.started)
}

#[cfg(test)]
mod tests {
    use super::*;
    use propagule_bench::dates::When;

    fn point(ever_rooted: Option<f64>, at_least: u32, looked_for: u32) -> CurvePoint {
        CurvePoint {
            on: When::day("2026-07-20".parse().expect("a day")),
            days: 42,
            ever_rooted,
            at_least,
            looked_for,
            rooted_alive: ever_rooted,
            alive: 1.0,
            dead: 0.0,
            lost: 0.0,
            left: 0.0,
            row: propagule_bench::Row { started: 12, ..propagule_bench::Row::default() },
        }
    }

    #[test]
    fn a_day_says_what_was_looked_for() {
        let said = |point| curve_point(&point, 0.0, &KindWords::of(propagule_bench::kind::Kind::Cutting));
        assert!(said(point(None, 0, 0)).contains("rooting not checked"));
        assert!(said(point(None, 2, 6)).contains("at least 2 rooted so far, in the pots with"));
        assert!(said(point(Some(0.0), 0, 12)).contains("0 rooted so far of 12 (0%),"));
        assert!(said(point(Some(0.9), 9, 10)).contains("9 rooted so far of 12 (90%),"));
    }
}
