//! Everything that a home knows of its bench, as tables and as lines of JSON.

use serde_json::json;

use super::history;
use crate::{App, Reply};
use propagule_bench::{Bench, Trial, tidy};

/// One file of an export.
type ExportFile = (String, Vec<Vec<String>>);

/// All tables, in rows of cells, or only the tidy one.
pub(super) fn everything(app: &App, table_only: bool) -> Reply {
    let bench = app.bench();
    let mut files: Vec<ExportFile> = vec![(tidy::TABLE.to_owned(), tidy::table(&bench))];
    let texts = vec![(tidy::DESCRIPTOR.to_owned(), tidy::DESCRIPTOR_TEXT.to_owned())];
    if table_only {
        let rows = files[0].1.len() - 1;
        let json = json!({ "format": "propagule.export/1", "table": { "rows": rows, "columns": tidy::COLUMNS.len() } });
        return Reply::Export { files, texts, json };
    }
    files.push(("entries.csv".to_owned(), entry_rows(&bench)));
    files.push(("spots.csv".to_owned(), spot_rows(&bench)));
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
    Reply::Export { files, texts, json }
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
