//! What is typed at the bench: entries such as `P2:dead=1,cause=basal rot`.

pub mod cell;
pub mod facets;
pub mod place;
pub mod tally;
mod value;

/// Splits at `separator`, trims, and passes over what is empty.
fn parts(text: &str, separator: char) -> impl Iterator<Item = &str> {
    text.split(separator).map(str::trim).filter(|part| !part.is_empty())
}
