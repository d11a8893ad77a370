//! Stock plants: where the pieces come from.

use std::collections::BTreeMap;

use propagule_protocol::Facet;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Details that propagules take from their stock plant.
pub const OF_STOCK: [Facet; 2] = [Facet::StockOrigin, Facet::StockAge];

/// A stock plant. Private: only its details and the number of stock plants, as a class, are ever published.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct StockPlant {
    /// The grower's own name.
    pub name: String,
    /// Plant name as typed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub species: Option<String>,
    /// Detail name → words, those of [`OF_STOCK`] only.
    #[serde(default)]
    pub facets: BTreeMap<String, String>,
    /// Private note: pruning, hedging, where it stands.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}
