//! How pieces left before the end.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How propagules left.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum Departure {
    /// They were sold.
    #[serde(rename = "sold")]
    Sold,
    /// They were given away.
    #[serde(rename = "given")]
    Given,
    /// They were planted out for good.
    #[serde(rename = "planted out")]
    PlantedOut,
}

impl Departure {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Sold, Self::Given, Self::PlantedOut];

    /// Its word, as the journal keeps it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Sold => "sold",
            Self::Given => "given",
            Self::PlantedOut => "planted out",
        }
    }
}
