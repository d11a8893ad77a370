//! What came of a request, as plain data: no sentence, no layout. Each shape has its name under `format`; fields are only
//! ever added.

pub mod place;
pub mod units;

use serde::{Deserialize, Serialize};

/// What came of a request. The words for it stand in `present`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "format")]
#[non_exhaustive]
pub enum Outcome {
    /// A place was described.
    #[serde(rename = "propagule.place/1")]
    PlaceSaved(place::PlaceSaved),
    /// The places of the grower.
    #[serde(rename = "propagule.places/1")]
    Places(place::Places),
    /// The places of a trial, as its counts are read.
    #[serde(rename = "propagule.units/1")]
    Units(units::UnitsToCount),
}
