//! What the page says where one thing is done at the bench: headings, fields, their help, buttons.

pub mod asking;
pub mod benches;
pub mod closing;
pub mod correcting;
pub mod counting;
pub mod describing;
pub mod history;
pub mod listing;
pub mod moving;
pub mod sticking;
pub mod stock;
#[cfg(test)]
mod tests;

/// A choice that may be left open.
pub const NOT_SAID: &str = "not said";
/// Keeps what was entered.
pub const SAVE: &str = "Save";
/// Takes an entry back.
pub const UNDO: &str = "Undo";
/// The name that a grower has for something.
pub const YOUR_NAME: &str = "Your name for it";
