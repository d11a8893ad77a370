//! What is to be printed of a trial: figures, from which the sheet is composed.

use propagule_bench::dates::When;
use propagule_bench::kind::Kind;
use propagule_bench::{Row, Trial};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::said::Said;
use super::trial::{CareGiven, TrialShown};

/// Paper to print on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum PaperSize {
    /// 210 × 297 mm.
    #[default]
    A4,
    /// 8.5 × 11 inches.
    Letter,
}

/// Something to print.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Paper {
    /// Labels.
    Labels(LabelsOf),
    /// A sheet to write counts on.
    ScoreSheet(SheetOf),
    /// A report.
    Report(Box<ReportOf>),
}

/// Labels of a trial.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct LabelsOf {
    /// Its code.
    pub trial: String,
    /// The plant.
    pub species: String,
    /// The kind of propagation.
    pub kind: Kind,
    /// The day on which it was started.
    pub started_on: When,
    /// In the order of its treatments.
    pub labels: Vec<LabelOf>,
    /// The paper.
    pub size: PaperSize,
}

/// The label of a place.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct LabelOf {
    /// Its code, as on its tag.
    pub code: String,
    /// The check character.
    pub check: char,
    /// A short form to be copied by hand.
    pub hand_copy: Option<String>,
    /// Label of its treatment; none where the trial is scored blind.
    pub arm: Option<String>,
}

/// A sheet to write counts of a trial on.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct SheetOf {
    /// Its code.
    pub trial: String,
    /// The kind of propagation.
    pub kind: Kind,
    /// Its places in the order of a walk along the bench.
    pub rows: Vec<SheetRow>,
    /// Cautions of its plant and methods, those hidden left out.
    #[serde(default)]
    pub cautions: Vec<Said>,
    /// Whether treatments are hidden.
    pub is_blind: bool,
    /// The paper.
    pub size: PaperSize,
}

/// A place on a sheet.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct SheetRow {
    /// Its place in the walk, from 1.
    pub bench_order: usize,
    /// Its code, with check character.
    pub code: String,
    /// Label of its treatment; none where the trial is scored blind.
    pub arm: Option<String>,
    /// What it holds.
    pub row: Row,
    /// The last day on which anybody looked at it.
    pub last_look: Option<When>,
}

/// The report of a trial.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ReportOf {
    /// The trial as it stands.
    pub shown: TrialShown,
    /// Where each treatment stood when it was started, as far as that is known.
    pub stood: Vec<StoodOn>,
    /// The last day on which anybody looked.
    pub last_look: Option<When>,
    /// Deaths and losses as dated.
    pub losses: Vec<DatedLoss>,
    /// Stock plants are split unevenly over the treatments.
    pub is_stock_uneven: bool,
    /// The paper.
    pub size: PaperSize,
}

/// Where a treatment stood.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct StoodOn {
    /// Its label.
    pub arm: String,
    /// The bench.
    pub spot: String,
    /// What was done there: mist, shade, heat, feed or water.
    pub care: Vec<CareGiven>,
}

/// Propagules of a place that died or were lost by a day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct DatedLoss {
    /// The day.
    pub on: When,
    /// The place.
    pub place: String,
    /// Died.
    pub dead: u16,
    /// Lost.
    pub lost: u16,
    /// The cause, where it was given.
    pub cause: Option<String>,
}

impl LabelsOf {
    /// Labels of a trial, none yet.
    pub fn of(trial: &Trial, size: PaperSize) -> Self {
        Self {
            trial: trial.code.clone(),
            species: trial.species.clone(),
            kind: trial.kind(),
            started_on: trial.started_on,
            labels: Vec::new(),
            size,
        }
    }
}
