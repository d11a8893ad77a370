//! Everything that a home knows of its bench.

use propagule_bench::Trial;
use propagule_bench::dates::When;
use propagule_bench::spot::{Care, Spot};
use propagule_bench::stock::StockPlant;
use propagule_protocol::place::Place;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::history::EntryHistory;

/// The bench as tables, or as its tidy table only.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct BenchExport {
    /// The tidy table: a row for each pot and day below its heads.
    pub tidy: Vec<Vec<String>>,
    /// The whole record; none where only the table was asked for.
    pub record: Option<BenchRecord>,
}

/// The whole bench record.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct BenchRecord {
    /// Places by name.
    pub places: Vec<NamedPlace>,
    /// Stock plants by name.
    pub stock_plants: Vec<StockPlant>,
    /// Benches by name.
    pub spots: Vec<Spot>,
    /// The mist, shade, heat and water log of the benches.
    pub care: Vec<CareOfSpot>,
    /// Trials as described.
    pub trials: Vec<Trial>,
    /// Every entry, by number.
    pub entries: Vec<EntryHistory>,
}

/// A place with the grower's name for it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct NamedPlace {
    /// The name.
    pub name: String,
    /// What is known of it.
    pub place: Place,
}

/// An entry in the mist, shade, heat and water log of a bench, with the days it holds for.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CareOfSpot {
    /// The bench.
    pub spot: String,
    /// From then on.
    pub from: When,
    /// The last day, when it was given.
    pub until: Option<When>,
    /// What.
    pub care: Care,
}
