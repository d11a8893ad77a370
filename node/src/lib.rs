//! A grower's own node: the bench record, publishing, pooling, comparing, and the exchange with others.
//!
//! The binary is `propagule`; this library exists so that tests can build its parts.
#![forbid(unsafe_code)]
#![expect(unexpected_cfgs, reason = "the workspace of the fuzz targets sets `fuzzing`")]

pub mod cli;
pub mod demo;
#[cfg(test)]
mod fixtures;
#[cfg(any(test, fuzzing))]
pub mod fuzzed;
mod grammar;
mod open_files;
#[cfg(test)]
#[path = "../tests/schema/mod.rs"]
mod schema;
#[cfg(test)]
mod schemas;
pub mod socket;
mod ui;
pub mod web;
