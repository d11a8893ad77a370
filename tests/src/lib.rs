//! Harness of the stories: growers with homes of their own, real processes, and peers that misbehave.
#![forbid(unsafe_code)]

pub mod accidents;
pub mod announcements;
mod binary;
pub mod browser;
pub mod dice;
pub mod grower;
pub mod handmade;
pub mod hostile;
pub mod http;
pub mod inside;
pub mod invented;
pub mod knocking;
pub mod netns;
mod node;
pub mod protobuf;
pub mod road;
#[path = "../../node/tests/schema/mod.rs"]
#[allow(dead_code, reason = "the commands' own tests use the rest of it")]
mod schema;
pub mod season;
pub mod simulation;
pub mod stores;

pub use binary::{binary, cargo};
pub use grower::Grower;
pub use node::Node;

use anyhow::Context;

/// The number behind `name` on the command line, for the programs that measure.
///
/// # Errors
/// When it is not a number.
pub fn argument(name: &str, default: u64) -> anyhow::Result<u64> {
    let mut words = std::env::args().skip_while(|word| word != name).skip(1);
    words.next().map_or(Ok(default), |word| word.parse().with_context(|| format!("{name} {word}")))
}
