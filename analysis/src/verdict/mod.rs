//! What may be said of the arms of one trial: the one place where a verdict is reached.
//!
//! A [`Trial`] goes in, whether a grower's own or one that was received: arms with their facets, and units (pots, or pieces
//! that were placed singly) with counts. [`judge`] finds how each pair stands to each other ([`Design`]), which pairs make up
//! the family that the trial asks about ([`Family`]), and reaches a verdict with its [`Reason`] for each. [`compare`] gives the
//! numbers of one pair under a given design. Formulas and their sources stand in `METHODS.md`.

mod compare;
mod design;
mod factorial;
mod family;
mod input;
mod numbers;
mod outcome;
mod pooled;
mod pots;
mod power;
mod reading;

pub use compare::{Comparison, compare};
pub use family::judge;
pub use input::{Arm, Trial, Unit};
pub use outcome::{Design, Family, FamilyKind, Judged, PairVerdict, Reading, Reason, Side, Verdict, Within};
pub use pooled::{CLEAR_POOLED, Held, Scope, pooled};
pub use pots::Dispersion;
pub use power::{MOST_POTS, pots_needed, power_with_pots};

/// p up to which arms are told apart.
pub const CLEAR: f64 = 0.05;
/// Correlation of two pieces of one pot that is assumed where pots do not say.
pub const PRIOR_ICC: f64 = 0.10;
/// How many degrees of freedom that assumption is worth.
pub const PRIOR_DF: f64 = 8.0;
