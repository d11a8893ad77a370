//! Pictures as SVG, each with the same in words and numbers beside it.

mod curve;
mod dots;
mod forest;
mod funnel;
mod scale;

pub(super) use curve::curves;
pub(super) use dots::dots;
pub(super) use forest::{Reading, Row, legend};
pub(super) use funnel::{funnel, share};
pub(super) use scale::Scale;
