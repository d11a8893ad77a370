//! The map of the bench, and how pots are laid out on it.

use crate::kind::KindWords;
use crate::kind::capital;

/// The heading.
pub const MAP: &str = "Map of the bench";

/// The title in the browser's tab.
pub fn map_of(code: &str) -> String {
    format!("Map of {code}")
}

/// Why pots are laid out by chance.
pub const NOT_LAID_OUT: &str = "The pots have not been laid out. A random layout keeps the sunny end of the bench from helping one treatment.";

/// How the map is read.
pub fn how_to_read(seed: impl std::fmt::Display) -> String {
    format!("Row 1 is at the back, column 1 at the left. Seed {seed}: the same seed gives the same bench.")
}

/// Before the link to the sheet.
pub const IN_ORDER_OF_WALK: &str = "The same in the order of a walk:";
/// The sheet.
pub const SHEET: &str = "sheet to count on";
/// The heading of a first layout.
pub const LAY_OUT: &str = "Lay out";
/// The heading of another.
pub const LAY_OUT_ANEW: &str = "Lay out again";
/// The field of how wide it is.
pub const COLUMNS: &str = "Pots side by side";
/// What an empty field means.
pub const COLUMNS_HELP: &str = "Empty: about as many as rows";
/// The field of the seed.
pub const SEED: &str = "Seed";
/// What an empty field means.
pub const SEED_HELP: &str = "Empty: a new one by chance";
/// Draws again.
pub const DRAW: &str = "Draw a new order by chance";
/// The button.
pub const AT_RANDOM: &str = "Lay out at random";
/// Nothing is moved any more.
pub const PLACES_STAY: &str = "The pots stand on the bench; their places stay.";
/// The heading of the table.
pub const AS_TABLE: &str = "As a table, in the order of a walk along the bench";

/// The columns of that table.
pub fn columns(words: &KindWords) -> [String; 4] {
    ["No.".to_owned(), "Place".to_owned(), "Treatment".to_owned(), capital(words.plural())]
}
