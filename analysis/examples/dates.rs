//! Dates of rooting: curves from checks, with and without the days between checks known, and two curves compared.
//!
//! `cargo run -p propagule-analysis --example dates`
#![expect(clippy::print_stdout, reason = "the table is printed")]

use propagule_analysis::survival::{
    Interval, Observed, Outcome, cumulative_incidence, kaplan_meier, log_rank, turnbull,
};

/// Invented: day of the check at which roots were first seen; none for a piece that never rooted until day 56.
const MISTED: [Option<f64>; 8] =
    [Some(14.0), Some(28.0), Some(28.0), Some(28.0), Some(42.0), Some(42.0), Some(56.0), None];
const DRY: [Option<f64>; 8] = [Some(28.0), Some(42.0), Some(42.0), Some(56.0), Some(56.0), None, None, None];

fn observed(pieces: &[Option<f64>]) -> Vec<Observed> {
    pieces.iter().map(|day| Observed { time: day.unwrap_or(56.0), event: day.is_some() }).collect()
}

/// Checks stand 14 days apart.
fn intervals(pieces: &[Option<f64>]) -> Vec<Interval> {
    let interval = |day: &Option<f64>| match day {
        Some(day) => Interval { left: day - 14.0, right: *day },
        None => Interval { left: 56.0, right: f64::INFINITY },
    };
    pieces.iter().map(interval).collect()
}

fn main() {
    println!("Share without roots under mist, at checks:");
    for step in kaplan_meier(&observed(&MISTED)) {
        println!("  day {:>2}: {:.2} (se {:.2})", step.time, step.survival, step.se);
    }
    println!("  and between checks:");
    for mass in turnbull(&intervals(&MISTED)).0 {
        println!(
            "  from {:>2} to {:>3}: {:.2} rooted, {:.2} left",
            mass.left, mass.right, mass.mass, mass.survival_after
        );
    }
    if let Some(test) = log_rank(&observed(&MISTED), &observed(&DRY)) {
        println!("Mist against dry: chi² {:.2}, p = {:.3}", test.chi2, test.p);
    }
    let fates =
        [(14.0, Outcome::Rooted), (28.0, Outcome::Dead), (28.0, Outcome::Rooted), (56.0, Outcome::Watched)];
    for step in cumulative_incidence(&fates) {
        println!("  day {:>2}: rooted {:.2}, dead {:.2}", step.time, step.rooted, step.dead);
    }
}

#[test]
fn it_runs() {
    main();
    // Every piece was seen at every check, so that both curves agree.
    let steps = kaplan_meier(&observed(&MISTED));
    for (step, mass) in steps.iter().zip(turnbull(&intervals(&MISTED)).0) {
        assert!((step.survival - mass.survival_after).abs() < 1e-9);
    }
}
