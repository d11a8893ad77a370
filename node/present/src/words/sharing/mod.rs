//! What the pages of the room Share say: who counts, how exchange goes, what leaves, where one grows, which phones are in.

pub mod computers;
pub mod health;
pub mod phones;
pub mod place;
pub mod publishing;
#[cfg(test)]
mod tests;
pub mod trust;
