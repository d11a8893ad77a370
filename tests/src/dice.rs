//! Numbers that look random and are the same in every run.

pub use propagule_network::spread::{Dice, SeededDice};

/// Hex digits of bytes.
pub fn hex(bytes: &[u8]) -> String {
    let digit = |value: u8| char::from_digit(value.into(), 16).expect("a value below 16");
    bytes.iter().flat_map(|byte| [digit(byte >> 4), digit(byte & 15)]).collect()
}
