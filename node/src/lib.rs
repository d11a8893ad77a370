//! A grower's own node: the bench record, publishing, pooling, comparing, and the exchange with others.
//!
//! The binary is `propagule`; this library exists so that tests can build its parts.
#![forbid(unsafe_code)]
#![expect(unexpected_cfgs, reason = "the workspace of the fuzz targets sets `fuzzing`")]

pub mod answer;
pub mod app;
pub mod archive;
pub mod bench;
pub mod bundle;
pub mod cli;
pub mod clock;
mod counted;
pub mod demo;
pub mod error;
pub mod evidence;
#[cfg(test)]
mod fixtures;
#[cfg(any(test, fuzzing))]
pub mod fuzzed;
mod hex;
pub mod home;
pub mod intake;
pub mod limits;
pub mod net;
pub mod paper;
mod paste;
pub mod socket;
pub mod spread;
pub mod store;
pub mod sync;
mod table;
mod ui;
pub mod web;
