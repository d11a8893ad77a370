//! Tables and figures as text.

use crate::cells::{Cell, Source};
use crate::tally::{Interval, Tally};

/// Head of a table, in Markdown.
pub(crate) const HEAD: &str = "| growers | typical rate % | spread | seed | typical: covers %, width | average | new grower | mean error of the average |\n| --- | --- | --- | --- | --- | --- | --- | --- |";

/// One row.
pub(crate) fn row(cell: &Cell, tally: &Tally) -> String {
    let (rate, spread) = match cell.source {
        Source::Fixed { rate, spread } => (format!("{:.0}", 100.0 * rate), format!("{spread}")),
        Source::Prior => ("prior".to_owned(), "prior".to_owned()),
    };
    format!(
        "| {} | {rate} | {spread} | {} | {} | {} | {} ± {:.1} | {:+.1} |",
        cell.growers,
        cell.seed,
        interval(&tally.typical),
        interval(&tally.average),
        interval(&tally.new_grower),
        100.0 * tally.new_grower.error(),
        100.0 * tally.excess(),
    )
}

fn interval(interval: &Interval) -> String {
    format!("{:.1}, {:.1}", 100.0 * interval.coverage(), 100.0 * interval.width())
}
