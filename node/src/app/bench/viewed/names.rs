//! Names that forms offer.

use crate::app::App;

/// Names to choose from in forms.
#[derive(Clone, Debug, Default)]
pub(crate) struct Names {
    pub(crate) trials: Vec<String>,
    pub(crate) spots: Vec<String>,
    pub(crate) places: Vec<String>,
    pub(crate) species: Vec<String>,
    /// Whether trials are opened on the network; none before it was asked.
    pub(crate) opens: Option<bool>,
    /// Whether results are to be published; none before it was chosen.
    pub(crate) publishing: Option<bool>,
}

/// Names to choose from in forms.
pub(crate) fn names(app: &App) -> Names {
    let bench = app.bench();
    let species: std::collections::BTreeSet<String> =
        bench.trials().map(|trial| trial.species.clone()).collect();
    Names {
        trials: bench.trials().map(|trial| trial.code.clone()).collect(),
        spots: bench.spots().map(|spot| spot.name.clone()).collect(),
        places: bench.places().map(|(name, _)| name.clone()).collect(),
        species: species.into_iter().collect(),
        opens: bench.opens(),
        publishing: bench.publishing(),
    }
}

/// What is known of the climate of a place, so that a form that does not ask for it keeps it.
pub(crate) fn climate(app: &App, place: &str) -> Option<propagule_protocol::place::Climate> {
    app.bench().place(place).map(|place| place.climate.clone())
}
