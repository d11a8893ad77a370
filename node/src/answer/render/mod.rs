//! Answers as plain text: no colour, no terminal needed, whole at 60 to 120 columns.

mod bar;
mod facets;
mod pool;
#[cfg(test)]
mod tests;
mod wrap;

pub use pool::pool_text;
pub use wrap::{WIDTHS, usable_width};

use super::compare::CompareAnswer;
use super::plan::PlanAnswer;
use super::screens;

/// A comparison in lines of at most `width` columns, 60 to 120.
pub fn compare_text(answer: &CompareAnswer, width: usize) -> String {
    propagule_present::text::render(&screens::compare(answer, None), width)
}

/// A plan in lines of at most `width` columns, 60 to 120.
pub fn plan_text(answer: &PlanAnswer, width: usize) -> String {
    propagule_present::text::render(&screens::plan(answer, []), width)
}
