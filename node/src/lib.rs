//! x
pub mod answer;
pub mod evidence;
mod table;
