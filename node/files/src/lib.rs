//! What the bench record and the network both stand on: journals, whole replacement of files, the lock of a home, the clock,
//! tables, and the failure that each reports.
//!
//! All code that differs by system is here.
#![forbid(unsafe_code)]

pub mod clock;
mod closest;
pub mod counted;
pub mod error;
pub mod fault;
pub mod hex;
pub mod journal;
pub mod lock;
pub mod paste;
pub mod replace;
pub mod system;
pub mod table;

pub use closest::closest;
