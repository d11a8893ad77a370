//! Answers composed as documents, which commands and pages render alike.

mod behind;
mod climate;
mod common;
mod compare;
mod plain;
mod plan;
pub(crate) mod pool;
#[cfg(test)]
mod tests;
#[cfg(test)]
pub(in crate::answer) mod text_tests;

pub(crate) use behind::behind;
pub(crate) use climate::Surroundings;
pub(crate) use common::whose_words;
pub(crate) use compare::compare;
pub(crate) use plain::plain;
pub(crate) use plan::plan;
pub(crate) use pool::pool;
