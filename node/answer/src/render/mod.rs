//! Pictures of a trial in characters.

mod wrap;
