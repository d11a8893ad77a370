//! x
pub mod answer;
pub mod demo;
pub mod evidence;
mod table;
