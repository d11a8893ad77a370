//! Why an entry cannot be, after those before it.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::dates::When;
use crate::fates::FateFault;
use crate::trial::Stage;

/// Why an entry cannot be, after those before it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum SeasonFault {
    /// Its numbers contradict what is known.
    Fate(FateFault),
    /// A stage comes after a later one.
    Order {
        /// What was counted, and when.
        counted: (Stage, When),
        /// The later stage that was counted before it, and when.
        before: (Stage, When),
    },
    /// The trial has no such place any more.
    Gone(Option<String>),
}

impl From<FateFault> for SeasonFault {
    fn from(fault: FateFault) -> Self {
        Self::Fate(fault)
    }
}
