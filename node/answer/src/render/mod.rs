//! Pictures of a trial in characters.

mod dots;
mod funnel;
mod wrap;

pub use dots::{Dots, dots};
pub use funnel::funnel;
