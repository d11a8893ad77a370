//! Answers as plain text: no colour, no terminal needed, whole at 60 to 120 columns.

mod bar;
mod compare;
mod detail;
mod dots;
mod facets;
mod funnel;
mod plan;
mod pool;
#[cfg(test)]
mod tests;
mod wrap;

pub use compare::compare_text;
pub use dots::{Dots, dots};
pub use funnel::funnel;
pub use plan::plan_text;
pub use pool::pool_text;
pub use wrap::{WIDTHS, usable_width};
