//! The bench record as tables and as one JSON.

use std::collections::BTreeMap;

use propagule_bench::kind::Kind;
use propagule_bench::tidy;
use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value;

use super::history;
use propagule_app::outcome::export::{BenchExport, BenchRecord};
use propagule_app::outcome::history::TrialLabels;

/// Rows of cells, the first of them the heads.
type Rows = Vec<Vec<String>>;

/// Name and rows of each table.
pub fn tables(export: &BenchExport) -> Vec<(&'static str, Rows)> {
    let whole = export.record.iter();
    let whole =
        whole.flat_map(|record| [("entries.csv", entry_rows(record)), ("spots.csv", spot_rows(record))]);
    std::iter::once((tidy::TABLE, export.tidy.clone())).chain(whole).collect()
}

/// Name and text of what describes the tidy table.
pub const DESCRIPTOR: (&str, &str) = (tidy::DESCRIPTOR, tidy::DESCRIPTOR_TEXT);

/// All of it, or how large the tidy table is where nothing else was asked for.
pub fn json(export: &BenchExport) -> Value {
    let exported = match &export.record {
        Some(record) => Exported::Record(record),
        None => Exported::Table {
            table: TableSize { rows: export.tidy.len().saturating_sub(1), columns: tidy::COLUMNS.len() },
        },
    };
    serde_json::to_value(BenchExported { exported }).expect("plain data")
}

/// What was written of the bench, in JSON.
#[derive(Serialize, JsonSchema)]
#[serde(tag = "format", rename = "propagule.export/1")]
pub struct BenchExported<'a> {
    /// The record, or the size of the table.
    #[serde(flatten)]
    exported: Exported<'a>,
}

#[derive(Serialize, JsonSchema)]
#[serde(untagged)]
enum Exported<'a> {
    /// The whole bench record.
    Record(&'a BenchRecord),
    /// The tidy table, which is a file of its own.
    Table {
        /// How large it is.
        table: TableSize,
    },
}

/// How large a table is.
#[derive(Serialize, JsonSchema)]
struct TableSize {
    /// Rows below the heads.
    rows: usize,
    /// Columns.
    columns: usize,
}

fn entry_rows(record: &BenchRecord) -> Rows {
    let heads = ["entry", "typed", "day", "trial", "what", "words", "note"].map(str::to_owned);
    let labels: BTreeMap<&str, TrialLabels> =
        record.trials.iter().map(|trial| (trial.code.as_str(), TrialLabels::of(trial))).collect();
    let none = TrialLabels { trial: String::new(), kind: Kind::default(), arms: Vec::new() };
    let rows = record.entries.iter().filter_map(|recorded| {
        let entry = recorded.entry.as_ref()?;
        let code = entry.what.trial().unwrap_or_default();
        Some(vec![
            recorded.number.to_string(),
            recorded.at.clone(),
            entry.on.to_string(),
            code.to_owned(),
            entry.what.word().to_owned(),
            history::entry(labels.get(code).unwrap_or(&none), entry),
            entry.note.clone().unwrap_or_default(),
        ])
    });
    std::iter::once(heads.into()).chain(rows).collect()
}

fn spot_rows(record: &BenchRecord) -> Rows {
    let mut rows: Rows = vec![["spot", "from", "to", "what"].map(str::to_owned).into()];
    for spot in &record.spots {
        rows.push(vec![spot.name.clone(), String::new(), String::new(), facets(&spot.facets)]);
        for care in record.care.iter().filter(|care| care.spot == spot.name) {
            let until = care.until.map(|until| until.to_string()).unwrap_or_default();
            rows.push(vec![spot.name.clone(), care.from.to_string(), until, care.care.to_string()]);
        }
    }
    rows
}

/// What trials take from a bench.
fn facets(facets: &BTreeMap<String, String>) -> String {
    if facets.is_empty() {
        return "nothing said of it yet".to_owned();
    }
    let parts = facets.iter().map(|(name, words)| format!("{} {words}", name.replace('_', " ")));
    parts.collect::<Vec<_>>().join(", ")
}
