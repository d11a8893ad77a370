//! Columns of checks: what their numbers are.

use super::ask::{Asked, Stated};
use super::columns::CHECK;
use super::grid::Grid;
use super::read_counts::is_open_check;
use super::sheet::Line;
use super::{Checks, Options};
use propagule_files::fault::{Fault, Problem};

/// States what the checks hold as said, or asks with what is likely.
pub(super) fn settle(grid: &Grid<'_>, rows: &[&Line], options: &Options, asked: &mut Asked) {
    let checks: Vec<_> = grid.columns.iter().filter(|column| is_open_check(column)).collect();
    let dead: Vec<_> = grid.columns.iter().filter(|column| column.name == "check_dead").collect();
    if checks.is_empty() && dead.is_empty() {
        return;
    }
    let headings =
        |columns: &[&super::Taken]| columns.iter().map(|column| column.heading.clone()).collect::<Vec<_>>();
    if let Some(said) = options.checks {
        if !checks.is_empty() {
            let stated = Stated::ChecksHold { headings: headings(&checks), checks: said };
            asked.state(stated, "checks", &words());
        }
        return;
    }
    if checks.is_empty() {
        // Deaths on several days can be since the last one or all so far; on one day both are the same.
        if dead.len() > 1 {
            let fault = Fault::user("table-deaths-of-which-days").with_data("headings", &headings(&dead));
            let problem = Problem::of_column(&dead[0].heading, fault);
            asked.ask(problem, "checks", &["dead", "dead-so-far"]);
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
    let fault = match (several, never_rise, never_fall) {
        (true, true, false) => {
            Fault::user("table-checks-never-rise").with_data("headings", &headings(&checks))
        }
        (true, false, true) => {
            Fault::user("table-checks-never-fall").with_data("headings", &headings(&checks))
        }
        _ => Fault::user("table-checks-of-what").with_data("headings", &headings(&checks)),
    };
    asked.ask(Problem::of_column(&checks[0].heading, fault), "checks", &words());
    debug_assert_eq!(checks[0].name, CHECK);
}

fn words() -> [&'static str; 4] {
    Checks::ALL.map(|(_, word)| word)
}
