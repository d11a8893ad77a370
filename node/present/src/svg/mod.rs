//! What pictures share: the size of a picture, the scale of rates, marks of pieces.

mod scale;

pub(crate) use scale::Scale;

/// Width of a picture; it fits the narrowest phone.
pub(crate) const WIDE: f64 = 320.0;

/// A number with one decimal, as places in a picture are written.
pub(crate) fn tenths(number: f64) -> String {
    format!("{number:.1}")
}
