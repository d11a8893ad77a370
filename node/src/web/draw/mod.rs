//! Pictures as SVG, each with the same in words and numbers beside it.

mod chances;
mod curve;
mod dots;
mod forest;
mod funnel;
mod outcomes;
mod scale;
mod strip;

pub(super) use chances::chances;
pub(super) use curve::curves;
pub(super) use dots::dots;
pub(super) use forest::{Reading, Row, legend};
pub(super) use funnel::{funnel, share};
pub(super) use outcomes::outcomes;
pub(super) use scale::Scale;
pub(super) use strip::{Measure, months};
