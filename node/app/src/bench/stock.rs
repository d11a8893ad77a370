//! Stock plants: where pieces come from.

use std::fmt::Write;

use serde_json::json;

use super::spots::{check_allowed, words};
use super::text;
use crate::{App, Reply, naming};
use propagule_bench::Event;
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
    crate::place::check_name("a stock plant", name).map_err(|failure| failure.in_field("name"))?;
    check_allowed("stock", given, &OF_STOCK)?;
    let note = text::kept(note);
    let named = species.map(|species| naming::read("stock", species, yes)).transpose();
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
    let stock = StockPlant { name: name.clone(), species, facets, note };
    bench.record(Event::StockSet { stock: stock.clone() })?;
    let text = named.map(|named| named.line()).unwrap_or_default()
        + &format!("Saved the stock plant \"{name}\": {}. Its name stays at home.\n", words(&stock.facets));
    Ok(Reply::report(text, json!({ "format": "propagule.stock/1", "stock": stock })))
}

/// All stock plants.
pub(super) fn show(app: &App) -> Reply {
    let bench = app.bench();
    let mut text = String::new();
    for stock in bench.stock_plants() {
        let species = stock.species.as_deref().map(|name| format!("{name}, ")).unwrap_or_default();
        let _ = writeln!(text, "{}: {species}{}", stock.name, words(&stock.facets));
        if let Some(note) = &stock.note {
            let _ = writeln!(text, "  {note}");
        }
    }
    if text.is_empty() {
        text.push_str(
            "No stock plant yet. Describe one: propagule stock 'old hedge' --with 'stock age=8 years'\n",
        );
    }
    let all: Vec<_> = bench.stock_plants().collect();
    Reply::report(text, json!({ "format": "propagule.stock_plants/1", "stock_plants": all }))
}
