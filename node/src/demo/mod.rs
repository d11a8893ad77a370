//! The demonstration: invented growers in invented regions, real nodes on this machine, the whole job.

mod cast;
mod liars;
pub mod scenario;
mod stage;
mod story;

pub(crate) use story::{Options, play};
