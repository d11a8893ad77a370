//! Harness of the stories: growers with homes of their own, real processes, and peers that misbehave.
#![forbid(unsafe_code)]

mod binary;
pub mod grower;
pub mod hostile;
pub mod invented;

pub use binary::binary;
pub use grower::{Grower, Node};
