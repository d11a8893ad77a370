//! What is typed at the bench: entries such as `P2:dead=1,cause=basal rot`, and arms such as
//! `A: auxin=none; pots=3; pieces=4`.

pub mod arm;
pub mod cell;
pub mod facets;
mod fault;
pub mod place;
pub mod tally;
mod value;

pub use fault::TypedFault;

/// Splits at `separator`, trims, and passes over what is empty.
fn parts(text: &str, separator: char) -> impl Iterator<Item = &str> {
    text.split(separator).map(str::trim).filter(|part| !part.is_empty())
}

/// `key=value`, both trimmed, the key in lower case with underscores for spaces and hyphens.
fn pair(text: &str) -> Result<(String, &str), TypedFault> {
    let (key, value) = text
        .split_once('=')
        .ok_or_else(|| TypedFault::new(text, "it has no `=`").hint("write what=how many, such as dead=1"))?;
    Ok((key.trim().to_lowercase().replace([' ', '-'], "_"), value.trim()))
}

/// A whole number of pieces.
fn number(text: &str) -> Result<u16, TypedFault> {
    text.trim().parse().ok().filter(|n| *n <= 10_000).ok_or_else(|| {
        TypedFault::new(text, "it is not a whole number from 0 to 10,000").hint("count pieces, not per cent")
    })
}
