//! Shrunk contrasts: against JAGS, by properties that hold for any counts, and on tables whose truth is known.

#[path = "shrunk/cases.rs"]
mod cases;
