//! Worked verdicts, whose numbers come from outside this crate, and what must hold of the verdicts of any trial.

#[path = "verdicts/cases.rs"]
mod cases;
#[path = "verdicts/made.rs"]
mod made;
#[path = "verdicts/pool.rs"]
mod pool;
#[path = "verdicts/properties.rs"]
mod properties;
#[path = "verdicts/rules.rs"]
mod rules;
