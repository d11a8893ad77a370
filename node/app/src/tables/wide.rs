//! Columns of checks: what their numbers are.

use super::ask::Asked;
use super::columns::CHECK;
use super::grid::Grid;
use super::read_counts::is_open_check;
use super::sheet::Line;
use super::{Checks, Options};
use propagule_files::table::Problem;

/// States what the checks hold as said, or asks with what is likely.
pub(super) fn settle(grid: &Grid<'_>, rows: &[&Line], options: &Options, asked: &mut Asked) {
    let checks: Vec<_> = grid.columns.iter().filter(|column| is_open_check(column)).collect();
    let dead: Vec<_> = grid.columns.iter().filter(|column| column.name == "check_dead").collect();
    if checks.is_empty() && dead.is_empty() {
        return;
    }
    let headings = |columns: &[&super::Taken]| {
        columns.iter().map(|column| column.heading.as_str()).collect::<Vec<_>>().join(", ")
    };
    if let Some(said) = options.checks {
        if !checks.is_empty() {
            asked.state(format!("{}: {}", headings(&checks), in_words(said)), "checks", &words());
        }
        return;
    }
    if checks.is_empty() {
        // Deaths on several days can be since the last one or all so far; on one day both are the same.
        if dead.len() > 1 {
            let text = format!("{}: died since the check before, or dead so far?", headings(&dead));
            let problem = Problem::of_column(&dead[0].heading, text);
            asked.ask(
                problem.hinted("say it: --checks dead or --checks dead-so-far"),
                "checks",
                &["dead", "dead-so-far"],
            );
        }
        return;
    }
    let numbers = |line: &&Line| -> Vec<f64> {
        let texts = checks.iter().filter_map(|column| grid.text_at(line, column));
        texts.filter_map(|text| text.parse().ok()).collect()
    };
    let holds = |of: fn(&[f64]) -> bool| rows.iter().all(|line| numbers(line).windows(2).all(of));
    let several = checks.len() > 1;
    let (never_rise, never_fall) = (holds(|pair| pair[1] <= pair[0]), holds(|pair| pair[1] >= pair[0]));
    let likely = match (several, never_rise, never_fall) {
        (true, true, false) => "numbers never rise along a row: alive on that day?",
        (true, false, true) => "numbers never fall along a row: dead so far?",
        _ => "alive on that day, dead since the check before, dead so far, or rooted?",
    };
    let problem = Problem::of_column(&checks[0].heading, format!("{}: {likely}", headings(&checks)));
    asked.ask(problem.hinted("say it: --checks alive, dead, dead-so-far or rooted"), "checks", &words());
    debug_assert_eq!(checks[0].name, CHECK);
}

fn words() -> [&'static str; 4] {
    Checks::ALL.map(|(_, word)| word)
}

fn in_words(checks: Checks) -> &'static str {
    match checks {
        Checks::Alive => "alive on that day",
        Checks::Dead => "died since the check before",
        Checks::DeadSoFar => "dead so far",
        Checks::Rooted => "with roots on that day",
    }
}
