//! Pictures as SVG, each with the same in words and numbers beside it.

mod curve;
mod dots;
mod funnel;

pub(super) use curve::curves;
pub(super) use dots::dots;
pub(super) use funnel::{funnel, share};
