//! Sentences about an arm over time.

use crate::kind::KindWords;
use crate::number::percent;
use propagule_bench::curve::CurvePoint;

/// Heading of an arm's curve: what its shares are of, and where a change fell.
pub fn over_time(label: &str, started: u16) -> String {
    format!(
        "{label} over time: shares of the {started} put in; each change fell between that day and the one before"
    )
}

/// One day of an arm's curve, with the estimate of the share that has the outcome by then.
pub fn curve_point(point: &CurvePoint, estimate: f64, words: &KindWords) -> String {
    let share = |share: f64| format!("{} %", percent(share));
    let row = &point.row;
    let ever = match (point.ever_rooted, point.looked_for) {
        (Some(ever), _) => format!(
            "ever {} {} of {} ({}), {} {}",
            words.lead,
            point.at_least,
            row.started,
            share(ever),
            row.waiting,
            words.waiting
        ),
        (None, 0) => words.not_looked_for(),
        (None, looked_for) => at_least(point.at_least, looked_for, words.lead),
    };
    let estimate = match point.ever_rooted {
        Some(_) => format!("; estimate with those gone left out {}", share(estimate)),
        None => String::new(),
    };
    format!(
        "{}  day {:>3}  {ever}, alive {} ({}), dead {}, lost {}, left {}{estimate}",
        point.on,
        point.days,
        row.alive(),
        share(point.alive),
        row.dead,
        row.lost,
        row.left_finished + row.left_below
    )
}

/// What is known while roots were looked for in some units only.
pub fn at_least(count: u32, looked_for: u32, outcome: &str) -> String {
    format!("at least {count} ever {outcome}, in the {looked_for} put in there")
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
        assert!(said(point(None, 0, 0)).contains("roots not looked for"));
        assert!(said(point(None, 2, 6)).contains("at least 2 ever rooted, in the 6 put in there"));
        assert!(said(point(Some(0.0), 0, 12)).contains("ever rooted 0 of 12 (0 %)"));
        assert!(said(point(Some(0.9), 9, 10)).contains("ever rooted 9 of 12 (90 %)"));
    }
}
