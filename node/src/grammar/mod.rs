//! What is typed after a command, and read into plain values: `A: auxin=none; pots=3`. The page reads only what growers
//! write so themselves, in a box that says so.

pub(crate) mod arm;
mod bare;
pub(crate) mod care;
pub(crate) mod pots;
