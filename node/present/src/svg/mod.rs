//! What pictures share: the size of a picture, the scale of rates, marks of pieces.

mod scale;

use maud::{Markup, PreEscaped};

pub(crate) use scale::Scale;

use crate::chart::Chart;
use crate::clean::clean;

/// Width of a picture; it fits the narrowest phone.
pub(crate) const WIDE: f64 = 320.0;

/// A number with one decimal, as places in a picture are written.
pub(crate) fn tenths(number: f64) -> String {
    format!("{number:.1}")
}

/// A chart as SVG with its legend, without what a page puts around it; characters that would steer a screen are
/// replaced.
pub fn render(chart: &Chart) -> Markup {
    PreEscaped(clean(&chart.picture().into_string()).into_owned())
}
