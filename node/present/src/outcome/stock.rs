//! Stock plants in words.

use crate::document::{Document, Item, List};
use propagule_bench::stock::StockPlant;

use super::command::ending_in_command;
use super::{plant, spots};
use crate::words::any_kind;
use propagule_app::outcome::stock::{StockPlants, StockSaved};

/// A stock plant was described.
pub(super) fn saved(saved: &StockSaved) -> Document {
    let stock = &saved.stock;
    Document::new().each(&saved.taken, |said, taken| said.say(plant::taken(taken))).say(format!(
        "Saved the {} \"{}\": {}. Its name stays at home.",
        any_kind().trade("stock plant"),
        stock.name,
        spots::facets(&stock.facets)
    ))
}

/// All stock plants.
pub(super) fn all(plants: &StockPlants) -> Document {
    if plants.stock_plants.is_empty() {
        return Document::new().say(ending_in_command(
            "No stock plants yet. Describe one: propagule stock 'old hedge' --about 'age=8 years'",
        ));
    }
    Document::new().list(List::points(plants.stock_plants.iter().map(stock_plant)))
}

fn stock_plant(stock: &StockPlant) -> Item {
    let species = stock.species.as_deref().map(|name| format!("{name}, ")).unwrap_or_default();
    Item::from(format!("{}: {species}{}", stock.name, spots::facets(&stock.facets)))
        .with(Document::new().each(&stock.note, Document::say))
}
