//! What is typed at the bench: entries such as `P2:dead=1,cause=basal rot`.

pub mod cell;
pub mod place;
pub mod tally;
mod value;
