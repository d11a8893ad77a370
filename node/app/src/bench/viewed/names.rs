//! Names that forms offer.

use crate::App;
use crate::bench::copying;

/// Names to choose from in forms.
#[derive(Clone, Debug, Default)]
pub struct Names {
    /// Codes of trials.
    pub trials: Vec<String>,
    /// Names of spots.
    pub spots: Vec<String>,
    /// Names of places.
    pub places: Vec<String>,
    /// Names of plants.
    pub species: Vec<String>,
    /// Names of stock plants.
    pub stock: Vec<String>,
    /// The code that the next trial may have.
    pub next_code: String,
    /// Whether trials are opened on the network; none before it was asked.
    pub opens: Option<bool>,
    /// Whether results are to be published; none before it was chosen.
    pub publishing: Option<bool>,
}

/// Names to choose from in forms.
pub fn names(app: &App) -> Names {
    let bench = app.bench();
    let species: std::collections::BTreeSet<String> =
        bench.trials().map(|trial| trial.species.clone()).collect();
    Names {
        trials: bench.trials().map(|trial| trial.code.clone()).collect(),
        spots: bench.spots().map(|spot| spot.name.clone()).collect(),
        places: bench.places().map(|(name, _)| name.clone()).collect(),
        species: species.into_iter().collect(),
        stock: bench.stock_plants().map(|plant| plant.name.clone()).collect(),
        next_code: copying::next_code(&bench, bench.trials().last().map_or("M0", |trial| &trial.code)),
        opens: bench.opens(),
        publishing: bench.publishing(),
    }
}

/// What is known of the climate of a place, so that a form that does not ask for it keeps it.
pub fn climate(app: &App, place: &str) -> Option<propagule_protocol::place::Climate> {
    app.bench().place(place).map(|place| place.climate.clone())
}
