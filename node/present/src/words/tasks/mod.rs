//! What the page says where one thing is done at the bench: headings, fields, their help, buttons.

pub mod asking;
pub mod benches;
pub mod closing;
pub mod correcting;
pub mod counting;
pub mod describing;
pub mod history;
pub mod importing;
pub mod listing;
pub mod moving;
pub mod printing;
pub mod showing;
pub mod sticking;
pub mod stock;
#[cfg(test)]
mod tests;

/// Keeps what was entered.
pub const SAVE: &str = "Save";
/// Undoes an entry.
pub const UNDO: &str = "Undo";
/// Those that are not counted one by one.
pub const REST: &str = "The rest";
/// The name that a grower has for something.
pub const YOUR_NAME: &str = "Your name for it";
