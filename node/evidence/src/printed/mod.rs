//! Trials that stand in print: a sort of evidence of its own, which no record, journal or message ever holds.
//!
//! A printed arm is no [`EvidenceRow`](crate::EvidenceRow), so nothing that counts growers' results can take one by mistake.
//! Only [`PrintedArm::as_row`] makes a row of it, for the engines that group and pool; its cluster is the source.

mod arm;
mod beside;
mod collection;
mod described;
mod read;
mod source;
#[cfg(test)]
mod tests;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

pub use arm::PrintedArm;
pub use beside::{PrintedBeside, beside};
pub use collection::{Edition, PrintedTrials, shipped};
pub use read::{PrintedTable, SOURCE_COLUMNS, TRIAL_COLUMNS, read_printed};
pub use source::PrintedSource;

/// Whether a source reports every treatment of its trial.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum AllArms {
    /// All of them.
    Yes,
    /// Some are left out, the failures most likely.
    No,
    /// It does not say.
    Unknown,
}

/// How a count was read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
pub enum Grade {
    /// Raw counts: a data set, or companion data of a paper.
    A,
    /// Stated in the text that was read: a count, or per cent of a stated number.
    B,
    /// From a compiled data base, whose compiler turned per cent into counts; the paper was not read.
    C,
}

impl AllArms {
    /// All there are.
    pub const ALL: [Self; 3] = [Self::Yes, Self::No, Self::Unknown];

    /// The word used in tables and JSON.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Yes => "yes",
            Self::No => "no",
            Self::Unknown => "unknown",
        }
    }
}

impl Grade {
    /// All there are.
    pub const ALL: [Self; 3] = [Self::A, Self::B, Self::C];

    /// The letter used in tables and JSON.
    pub const fn word(self) -> &'static str {
        match self {
            Self::A => "A",
            Self::B => "B",
            Self::C => "C",
        }
    }
}
