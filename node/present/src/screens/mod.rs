//! Answers composed as documents, which commands and pages render alike.

mod behind;
mod climate;
mod common;
mod compare;
mod labels;
mod plain;
mod plan;
pub mod pool;
#[cfg(test)]
mod printed_tests;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod text_tests;

pub use behind::behind;
pub use climate::Surroundings;
pub use common::data_words;
pub use compare::compare;
pub use plain::plain;
pub use plan::plan;
pub use pool::pool;
