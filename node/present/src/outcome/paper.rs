//! What is printed, as pages with their words.

use schemars::JsonSchema;
use serde::Serialize;

use super::{report, said};
use crate::kind::KindWords;
use crate::paper::sheet::{self, Label, LabelSheet, ReportPage, ScoreRow, ScoreSheet};
use crate::words::pots as words;
use crate::words::sentences::when;
use propagule_app::outcome::paper::{LabelOf, LabelsOf, Paper, PaperSize, SheetOf, SheetRow};

/// A page to print.
#[derive(Clone, Debug, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Page {
    /// Labels.
    Labels(LabelSheet, PaperSize),
    /// A sheet to write counts on.
    ScoreSheet(ScoreSheet),
    /// A report.
    Report(ReportPage),
}

impl Page {
    /// The page of what is to be printed.
    pub fn of(paper: &Paper) -> Self {
        match paper {
            Paper::Labels(of) => Self::Labels(labels(of), of.size),
            Paper::ScoreSheet(of) => Self::ScoreSheet(score_sheet(of)),
            Paper::Report(of) => Self::Report(report::page(of)),
        }
    }

    /// The page as one self-contained text.
    pub fn html(&self) -> String {
        match self {
            Self::Labels(of, size) => sheet::labels(of, *size),
            Self::ScoreSheet(of) => sheet::score_sheet(of),
            Self::Report(page) => sheet::report(page),
        }
    }

    /// What it holds, for `--json`.
    pub fn json(&self, name: &str) -> serde_json::Value {
        let what = match self {
            Self::Labels(..) => "labels",
            Self::ScoreSheet(_) => "score sheet",
            Self::Report(_) => "report",
        };
        let shown = PageShown { what, name, page: self };
        serde_json::to_value(shown).expect("plain data")
    }
}

/// A page in JSON.
#[derive(Serialize, JsonSchema)]
#[serde(tag = "format", rename = "propagule.page/1")]
pub struct PageShown<'a> {
    /// What is on it, in words.
    what: &'static str,
    /// Name of the file.
    name: &'a str,
    /// What is on it.
    page: &'a Page,
}

fn labels(of: &LabelsOf) -> LabelSheet {
    let started = {
        let words = KindWords::of(of.kind);
        format!("{} {}", words.started, when(&words, &of.started_on))
    };
    let label = |label: &LabelOf| Label {
        code: label.code.clone(),
        check: label.check,
        hand_copy: label.hand_copy.clone(),
        species: of.species.clone(),
        arm: label.arm.clone(),
        started: started.clone(),
        qr: true,
    };
    LabelSheet { title: format!("Labels of {}", of.trial), labels: of.labels.iter().map(label).collect() }
}

fn score_sheet(of: &SheetOf) -> ScoreSheet {
    let said = KindWords::of(of.kind);
    let row = |row: &SheetRow| ScoreRow {
        bench_order: row.bench_order,
        code: row.code.clone(),
        arm: row.arm.clone(),
        started: row.row.started,
        last: row.last_look.map(|day| format!("{}: {}", when(&said, &day), words::holds(&row.row, &said))),
    };
    let columns = [said.lead, said.green, "dead since last count", "lost since last count", "note"];
    ScoreSheet {
        title: format!("Trial {}", of.trial),
        columns: columns.map(str::to_owned).into(),
        rows: of.rows.iter().map(row).collect(),
        blind: of.is_blind,
        date_line: "Date ____________   Counted by ____________".to_owned(),
        cautions: of.cautions.iter().map(said::line).collect(),
        size: of.size,
    }
}
