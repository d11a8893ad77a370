//! Stock plants.

use propagule_bench::stock::StockPlant;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::plant::NameTaken;

/// A stock plant was described.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct StockSaved {
    /// As it is described now.
    pub stock: StockPlant,
    /// How its plant name was taken, where it was not taken as typed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub taken: Option<NameTaken>,
}

/// The stock plants.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct StockPlants {
    /// By name.
    pub stock_plants: Vec<StockPlant>,
}
