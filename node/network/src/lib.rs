//! The store of a home's records, their exchange and spreading, and the libp2p shell around both.
#![forbid(unsafe_code)]

pub mod admission;
pub mod bundle;
#[cfg(test)]
#[path = "../../src/fixtures.rs"]
mod fixtures;
pub mod intake;
pub mod limits;
pub mod months;
pub mod net;
pub mod spread;
pub mod store;
pub mod sync;
pub mod timing;
