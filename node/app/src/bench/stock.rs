//! Stock plants: where pieces come from.

use super::spots::check_allowed;
use super::text;
use crate::outcome::Outcome;
use crate::outcome::stock::{StockPlants, StockSaved};
use crate::{App, Reply, naming};
use propagule_bench::Event;
use propagule_bench::doing::Doing;
use propagule_bench::given::FacetsGiven;
use propagule_bench::stock::{OF_STOCK, StockPlant};
use propagule_files::fault::Fault;

/// Describes a stock plant, anew or for the first time.
pub(super) fn set(
    app: &App,
    name: &str,
    species: Option<&str>,
    given: &FacetsGiven,
    note: Option<&str>,
    yes: bool,
) -> Result<Reply, Fault> {
    let name = name.trim();
    crate::place::check_name("stock-plant", name).map_err(|failure| failure.in_field("name"))?;
    check_allowed(Doing::Stock, given, &OF_STOCK)?;
    let note = text::kept(note);
    let named = species.map(|species| naming::read(Doing::Stock, species, yes)).transpose();
    let named = named.map_err(|failure| failure.in_field("species"))?;
    let species = named.as_ref().map(|named| named.taxon.to_string());
    let mut bench = app.bench();
    let known = bench.stock_plant(name).cloned();
    let name = known.as_ref().map_or(name, |stock| &stock.name).to_owned();
    let (mut facets, species, note) = match known {
        Some(known) => (known.facets, species.or(known.species), note.or(known.note)),
        None => (std::collections::BTreeMap::new(), species, note),
    };
    given.write_into(&mut facets);
    let stock = StockPlant { name, species, facets, note };
    bench.record(Event::StockSet { stock: stock.clone() })?;
    let taken = named.and_then(|named| named.taken());
    Ok(Reply::done(Outcome::StockSaved(StockSaved { stock, taken })))
}

/// All stock plants.
pub(super) fn show(app: &App) -> Reply {
    let stock_plants = app.bench().stock_plants().cloned().collect();
    Reply::done(Outcome::StockPlants(StockPlants { stock_plants }))
}
