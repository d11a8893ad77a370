//! Answers composed as documents, which commands and pages render alike.

mod behind;
mod climate;
mod common;
mod compare;
mod plain;
mod plan;
#[cfg(test)]
mod tests;

pub(crate) use behind::behind;
pub(crate) use climate::Surroundings;
pub(crate) use common::{data_words, whose_words};
pub(crate) use compare::compare;
pub(crate) use plain::plain;
pub(crate) use plan::plan;
