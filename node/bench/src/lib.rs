//! The private bench record: an append-only journal of events, and what they amount to.
//!
//! A correction is a new event; nothing that was typed is ever lost. Nothing here leaves the machine
//! except through `publish`, which anonymises it first.

#![forbid(unsafe_code)]

pub mod archive;
mod began;
pub mod changes;
pub mod code;
pub mod control;
pub mod curve;
pub mod dates;
mod departure;
pub mod design;
mod difference;
pub mod doing;
pub mod due;
pub mod entry;
mod environment;
mod event;
pub mod fates;
#[cfg(test)]
#[path = "../../src/fixtures.rs"]
#[expect(dead_code, reason = "each crate uses a part of them")]
mod fixtures;
pub mod given;
mod grower;
pub mod kind;
pub mod layout;
pub mod locale;
mod matched;
#[doc(hidden)]
pub mod random_seasons;
mod record;
pub mod results;
pub mod season;
pub mod spot;
pub mod stock;
pub mod summarise;
pub mod tags;
pub mod tidy;
mod trial;
pub mod typed;
mod units;
mod when;

pub use began::Began;
pub use departure::Departure;
pub use difference::{Difference, Gone, State};
pub use entry::{Entry, Fate, Law, Mark, Tally, What};
pub use event::{Event, Stamped};
pub use fates::{FateFault, Fates, Part, Rest, Row, Standing, Whole};
pub use grower::KnownGrower;
pub use record::{Bench, Recorded, compared};
pub use season::{Season, SeasonFault, Unit};
pub use trial::{
    Arm, ArmPhase, Counts, EnteredFor, LayoutChoice, Relation, Replicate, Stage, StartedKnown, Trial,
};
pub use units::{ArmUnits, TrialUnits, UnitKey};
