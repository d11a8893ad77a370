//! Everything that a home knows of its bench, as tables and as lines of JSON.

use super::history;
use crate::outcome::export::{BenchExport, BenchRecord, CareOfSpot, NamedPlace};
use crate::{App, Reply};
use propagule_bench::spot::Spot;
use propagule_bench::{Bench, tidy};

/// All of it, or only the tidy table.
pub(super) fn everything(app: &App, table_only: bool) -> Reply {
    let bench = app.bench();
    let record = (!table_only).then(|| record(&bench));
    Reply::Bench(Box::new(BenchExport { tidy: tidy::table(&bench), record }))
}

fn record(bench: &Bench) -> BenchRecord {
    let place = |(name, place): (&String, &_)| NamedPlace { name: name.clone(), place: Clone::clone(place) };
    BenchRecord {
        places: bench.places().map(place).collect(),
        stock_plants: bench.stock_plants().cloned().collect(),
        spots: bench.spots().cloned().collect(),
        care: bench.spots().flat_map(|spot| care(bench, spot)).collect(),
        trials: bench.trials().cloned().collect(),
        entries: bench.recorded().map(|(number, recorded)| history::entry(number, recorded)).collect(),
    }
}

fn care(bench: &Bench, spot: &Spot) -> Vec<CareOfSpot> {
    let spans = bench.care_of(&spot.name).into_iter();
    let care = spans.map(|span| CareOfSpot {
        spot: spot.name.clone(),
        from: span.from,
        until: span.until,
        care: span.care,
    });
    care.collect()
}
