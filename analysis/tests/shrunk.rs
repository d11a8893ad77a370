//! Shrunk contrasts: against JAGS, by properties that hold for any counts, and on tables whose truth is known.

#[path = "shrunk/cases.rs"]
mod cases;
#[path = "shrunk/null_tables.rs"]
mod null_tables;
#[path = "shrunk/properties.rs"]
mod properties;
#[path = "../examples/calibration/random.rs"]
#[allow(dead_code, reason = "the other program draws from more laws")]
mod random;
#[path = "shrunk/rules.rs"]
mod rules;
#[path = "../examples/contrasts/tables.rs"]
mod tables;
#[path = "../examples/contrasts/tally.rs"]
mod tally;
