//! What goes to and comes from paper: label codes, layouts, printable sheets, calendar files, dates as growers
//! write them, and cautions. Plain values in, text out; no I/O.

pub mod calendar;
pub mod cautions;
pub mod code;
pub mod dates;
pub mod layout;
pub mod sheet;
