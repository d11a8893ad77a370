//! Everything that a home knows of its bench, as tables and as lines of JSON.

use serde_json::json;

use super::history;
use crate::app::{App, Reply};
use crate::bench::{Bench, Stage, Trial, import};

/// One file of an export.
type ExportFile = (String, Vec<Vec<String>>);

/// All tables, in rows of cells.
pub(super) fn everything(app: &App) -> Reply {
    let bench = app.bench();
    let trials: Vec<Trial> = bench.trials().map(|trial| bench.as_it_stands(trial)).collect();
    let files: Vec<ExportFile> = vec![
        ("trials.csv".to_owned(), trial_rows(&trials)),
        ("entries.csv".to_owned(), entry_rows(&bench)),
        ("spots.csv".to_owned(), spot_rows(&bench)),
    ];
    let json = json!({
        "format": "propagule.export/1",
        "places": bench.places().map(|(name, place)| json!({ "name": name, "place": place })).collect::<Vec<_>>(),
        "stock_plants": bench.stock_plants().collect::<Vec<_>>(),
        "spots": bench.spots().collect::<Vec<_>>(),
        "trials": bench.trials().collect::<Vec<_>>(),
        "entries": bench.recorded().map(|(number, recorded)| json!({
            "entry": number, "typed": recorded.at, "stands": recorded.entry,
            "earlier": recorded.earlier.iter().map(|(entry, until)| json!({ "entry": entry, "until": until })).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
    });
    Reply::Export { files, json }
}

/// The table that `trial import` reads, one row an arm.
fn trial_rows(trials: &[Trial]) -> Vec<Vec<String>> {
    let columns = import::known_columns();
    let mut rows = vec![columns.clone()];
    for trial in trials {
        for arm in &trial.arms {
            rows.push(columns.iter().map(|column| cell(trial, arm, column)).collect());
        }
    }
    rows
}

fn cell(trial: &Trial, arm: &crate::bench::Arm, column: &str) -> String {
    let yes_no = |is: bool| if is { "yes" } else { "no" }.to_owned();
    match column {
        "trial" => trial.code.clone(),
        "species" => trial.species.clone(),
        "arm" => arm.label.clone(),
        "started" => arm.started.to_string(),
        "started_on" => trial.started_on.to_string(),
        "grower" => trial.entered_for.as_ref().map(|other| other.name.clone()).unwrap_or_default(),
        "spot" => arm.spot.clone().unwrap_or_default(),
        "place" => trial.place.clone().unwrap_or_default(),
        "stock_plants" => trial.stock_plants.map(|n| n.to_string()).unwrap_or_default(),
        "randomised" => yes_no(trial.is_randomised),
        "blocked" => yes_no(trial.is_blocked),
        "scored_blind" => yes_no(trial.is_scored_blind),
        "note" => trial.note.clone().unwrap_or_default(),
        _ => match arm.facets.get(column) {
            Some(words) => words.clone(),
            None => staged(trial, arm, column),
        },
    }
}

fn staged(trial: &Trial, arm: &crate::bench::Arm, column: &str) -> String {
    let Some((stage, what)) = Stage::ALL
        .into_iter()
        .find_map(|stage| Some((stage, column.strip_prefix(stage.word())?.strip_prefix('_')?)))
    else {
        return String::new();
    };
    if what == "on" {
        return trial.date(stage).map(|day| day.to_string()).unwrap_or_default();
    }
    let Some(counts) = arm.counts(stage) else { return String::new() };
    let value = serde_json::to_value(counts).unwrap_or_default();
    value.get(what).and_then(serde_json::Value::as_u64).map(|n| n.to_string()).unwrap_or_default()
}

fn entry_rows(bench: &Bench) -> Vec<Vec<String>> {
    let mut rows =
        vec![["entry", "typed", "day", "trial", "what", "words", "note"].map(str::to_owned).into()];
    for (number, recorded) in bench.recorded() {
        let Some(entry) = &recorded.entry else { continue };
        let trial = entry.what.trial().and_then(|code| bench.trial(code));
        let words = match trial {
            Some(trial) => history::words(trial, entry),
            None => history::words(&Trial::empty("", "", entry.on), entry),
        };
        rows.push(vec![
            number.to_string(),
            recorded.at.clone(),
            entry.on.to_string(),
            entry.what.trial().unwrap_or_default().to_owned(),
            entry.what.word().to_owned(),
            words,
            entry.note.clone().unwrap_or_default(),
        ]);
    }
    rows
}

fn spot_rows(bench: &Bench) -> Vec<Vec<String>> {
    let mut rows = vec![["spot", "from", "to", "what"].map(str::to_owned).into()];
    for spot in bench.spots() {
        rows.push(vec![spot.name.clone(), String::new(), String::new(), super::spots::words(&spot.facets)]);
        for span in bench.care_of(&spot.name) {
            let until = span.until.map(|until| until.to_string()).unwrap_or_default();
            rows.push(vec![spot.name.clone(), span.from.to_string(), until, span.care.to_string()]);
        }
    }
    rows
}
