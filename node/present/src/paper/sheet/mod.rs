//! Printable pages, each one self-contained HTML text: black on white, nothing fetched, no script, and no row of a
//! table split over two pages.
//!
//! Every text that comes from outside passes [`escape()`].

mod labels;
mod map;
mod page;
mod report;
mod score;
#[cfg(test)]
mod tests;

use propagule_app::outcome::paper::PaperSize;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

pub use labels::labels;
pub use map::bench_map;
pub use page::escape;
pub use report::report;
pub use score::score_sheet;

/// A sheet of labels to cut apart.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct LabelSheet {
    /// What the sheet is for.
    pub title: String,
    /// In the order to be printed.
    pub labels: Vec<Label>,
}

/// One label.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Label {
    /// The code without its check character.
    pub code: String,
    /// The check character.
    pub check: char,
    /// A short form to be copied by hand.
    pub hand_copy: Option<String>,
    /// The plant.
    pub species: String,
    /// What was done; `None` when the trial is scored blind.
    pub arm: Option<String>,
    /// The day of sticking, as it is to be printed.
    pub started: String,
    /// Whether to print a QR code.
    pub qr: bool,
}

/// A sheet to write counts on, in bench order.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct ScoreSheet {
    /// What is scored.
    pub title: String,
    /// Headings of the empty boxes.
    pub columns: Vec<String>,
    /// In bench order.
    pub rows: Vec<ScoreRow>,
    /// Whether treatments are hidden, whatever the rows hold.
    pub blind: bool,
    /// Where the date and the scorer are written.
    pub date_line: String,
    /// Cautions to print.
    pub cautions: Vec<String>,
    /// The paper.
    pub size: PaperSize,
}

/// One pot on a score sheet.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct ScoreRow {
    /// Its place in the walk along the bench, from 1.
    pub bench_order: usize,
    /// Its code, with check character.
    pub code: String,
    /// What was done; left out on a blind sheet.
    pub arm: Option<String>,
    /// Propagules started.
    pub started: u32,
    /// What the last check found.
    pub last: Option<String>,
}

/// A report to print.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct ReportPage {
    /// First heading.
    pub title: String,
    /// Line below it; may be empty.
    pub subtitle: String,
    /// The parts.
    pub sections: Vec<Section>,
    /// Last line: version, day.
    pub footer: String,
    /// The paper.
    pub size: PaperSize,
}

/// One part of a report.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Section {
    /// Its heading.
    pub heading: String,
    /// Paragraphs.
    pub paragraphs: Vec<String>,
    /// Headings and rows.
    pub table: Option<(Vec<String>, Vec<Vec<String>>)>,
    /// Text whose spaces matter, such as a picture in characters.
    pub preformatted: Option<String>,
}
