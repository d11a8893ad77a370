//! Where each replicate stands on the bench: at random, by a seed that is kept.

use crate::outcome::Outcome;
use crate::outcome::layout::LaidOut;
use crate::{App, Reply};
use propagule_bench::design::shares_pots;
use propagule_bench::layout::{Layout, LayoutRequest, ReplicateSpec, imbalance, lay_out};
use propagule_bench::{Event, LayoutChoice, Trial};
use propagule_files::fault::Fault;

/// Columns of a bench grid unless told otherwise: about as many as rows.
fn usual_columns(pots: usize) -> usize {
    (1..=40).find(|columns| columns * columns >= pots).unwrap_or(40)
}

/// Lays out a trial that has not been laid out yet, or shows how it stands.
pub(super) fn layout(
    app: &App,
    code: &str,
    columns: Option<usize>,
    seed: Option<u64>,
) -> Result<Reply, Fault> {
    let mut bench = app.bench();
    let trial = crate::trial::find(bench.trial(code), code, bench.trials())?.clone();
    let specs = specs(&trial);
    if let Some(columns) = columns.filter(|columns| !(1..=40).contains(columns)) {
        return Err(Fault::usage("columns-out-of-range").with("columns", columns));
    }
    let choice = match (trial.layout, columns.is_some() || seed.is_some()) {
        (Some(choice), false) => choice,
        (Some(_), true) if !trial.is_planned => {
            return Err(Fault::user("layout-exists").with("trial", &trial.code));
        }
        (known, _) => {
            let seed = seed.or(known.map(|known| known.seed)).map_or_else(random_seed, Ok)?;
            let columns =
                columns.or(known.map(|known| known.columns)).unwrap_or_else(|| usual_columns(specs.len()));
            let choice = LayoutChoice { seed, columns };
            let is_blocked = trial.is_blocked || trial.arms.iter().any(|arm| arm.replicates.len() > 1);
            let after = Trial {
                layout: Some(choice),
                is_randomised: specs.len() > 1,
                is_blocked: is_blocked && trial.arms.len() > 1,
                ..trial.clone()
            };
            bench.record(Event::TrialRecorded { trial: after })?;
            choice
        }
    };
    let layout = of(&trial, choice);
    let evenness = imbalance(&layout, &request(&trial, choice));
    let bench_order = order(&layout, &specs);
    let trial = Trial { layout: Some(choice), ..trial };
    Ok(Reply::done(Outcome::LaidOut(LaidOut {
        sheet_order: sheet_order(&trial),
        trial: trial.code,
        seed: choice.seed,
        columns: layout.columns,
        rows: layout.rows,
        bench_order,
        cells: layout.cells,
        labels: specs.into_iter().map(|spec| spec.code).collect(),
        evenness,
    })))
}

fn random_seed() -> Result<u64, Fault> {
    let mut bytes = [0; 4];
    getrandom::fill(&mut bytes).map_err(|e| Fault::environment("no-random-seed").because(e))?;
    Ok(u64::from(u32::from_le_bytes(bytes)))
}

/// The layout of a trial by its choice.
pub(super) fn of(trial: &Trial, choice: LayoutChoice) -> Layout {
    lay_out(&request(trial, choice))
}

fn request(trial: &Trial, choice: LayoutChoice) -> LayoutRequest {
    LayoutRequest {
        seed: choice.seed,
        replicates: specs(trial),
        columns: choice.columns,
        is_blocked: !shares_pots(trial),
    }
}

/// One for each pot; pieces that share a pot stand and move with it, so only the first arm's part is placed.
pub(super) fn specs(trial: &Trial) -> Vec<ReplicateSpec> {
    if shares_pots(trial) {
        let pots: std::collections::BTreeSet<(usize, &str)> = trial
            .arms
            .iter()
            .flat_map(|arm| &arm.replicates)
            .filter_map(|replicate| replicate.pot.as_deref())
            .map(|pot| (pot.len(), pot))
            .collect();
        return pots
            .into_iter()
            .map(|(_, pot)| ReplicateSpec { code: pot.to_owned(), arm: 1, block: None, stock_plant: None })
            .collect();
    }
    let mut specs = Vec::new();
    for arm in &trial.arms {
        if arm.replicates.is_empty() {
            let stock_plant = arm.stock_plant.clone();
            specs.push(ReplicateSpec { code: arm.label.clone(), arm: arm.number, block: None, stock_plant });
        }
        for (replicate, block) in arm.replicates.iter().zip(1..) {
            specs.push(ReplicateSpec {
                code: replicate.code.clone(),
                arm: arm.number,
                block: Some(block),
                stock_plant: replicate.stock_plant.clone().or_else(|| arm.stock_plant.clone()),
            });
        }
    }
    specs
}

/// Codes in the order in which one walks along the bench.
fn order(layout: &Layout, specs: &[ReplicateSpec]) -> Vec<String> {
    layout.walk().into_iter().map(|index| specs[index].code.clone()).collect()
}

/// Places in the order of the printed sheet: as they stand on the bench, else as the trial lists them.
pub(super) fn sheet_order(trial: &Trial) -> Vec<String> {
    let places: Vec<(String, String)> = trial
        .arms
        .iter()
        .flat_map(|arm| {
            if arm.replicates.is_empty() {
                vec![(arm.label.clone(), arm.label.clone())]
            } else {
                let pot = |replicate: &propagule_bench::Replicate| {
                    (replicate.pot.clone().unwrap_or_else(|| replicate.code.clone()), replicate.code.clone())
                };
                arm.replicates.iter().map(pot).collect()
            }
        })
        .collect();
    let Some(choice) = trial.layout else { return places.into_iter().map(|(_, code)| code).collect() };
    let on_bench = order(&of(trial, choice), &specs(trial));
    let of_pot = |pot: &String| -> Vec<String> {
        places.iter().filter(|(of, _)| of == pot).map(|(_, code)| code.clone()).collect()
    };
    on_bench.iter().flat_map(of_pot).collect()
}
