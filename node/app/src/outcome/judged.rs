//! Verdicts of a trial: every number behind them, and what is said of it.

use propagule_analysis::verdict::Verdict;
use propagule_bench::Stage;
use propagule_bench::kind::Kind;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::said::Said;
use propagule_answer::trial::{FamilyRow, VerdictRow};

/// A pair with all its numbers, its verdict, its reason and its sentence.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct VerdictShown {
    /// Its numbers and its verdict.
    #[serde(flatten)]
    pub row: VerdictRow,
    /// The verdict and its reason.
    pub reason: Said,
    /// The whole sentence.
    pub sentence: Said,
}

/// What a verdict's words are made of.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct VerdictSaid {
    /// The pair as judged.
    pub pair: VerdictRow,
    /// What the trial asks.
    pub family: FamilyRow,
    /// The stage, which decides what succeeded.
    pub stage: Stage,
    /// In whose words it is said.
    pub kind: Kind,
}

/// A pair as the first version told it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ComparisonRow {
    /// Label of the first side.
    pub first: String,
    /// Label of the second side.
    pub second: String,
    /// Names of all that differs.
    pub differs: Vec<String>,
    /// The one thing that differs, where it is one.
    pub sole: Option<String>,
    /// What came of it.
    pub verdict: FirstVerdict,
    /// The p that counts.
    pub p: Option<f64>,
    /// The same after Holm's correction.
    pub holm: Option<f64>,
}

/// What came of a pair in the words of the first version.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum FirstVerdict {
    /// It was tested.
    Tested,
    /// One pot in a treatment.
    OnePotEach,
    /// Several things differ together.
    CannotSeparate,
    /// None, or all, in every stratum.
    NothingToSee,
    /// Not counted yet.
    Pending,
}

impl VerdictShown {
    /// A pair of a trial of a kind, at a stage.
    pub fn new(row: VerdictRow, family: FamilyRow, stage: Stage, kind: Kind) -> Self {
        let said = Box::new(VerdictSaid { pair: row.clone(), family, stage, kind });
        Self { row, reason: Said::VerdictReason(said.clone()), sentence: Said::VerdictSentence(said) }
    }
}

impl ComparisonRow {
    /// The same pair.
    pub fn of(pair: &VerdictRow) -> Self {
        let verdict = match pair.verdict {
            Verdict::SingleUnit => FirstVerdict::OnePotEach,
            Verdict::Confounded => FirstVerdict::CannotSeparate,
            Verdict::NothingToSee => FirstVerdict::NothingToSee,
            Verdict::Pending => FirstVerdict::Pending,
            _ => FirstVerdict::Tested,
        };
        let numbers = &pair.numbers;
        Self {
            first: pair.first.clone(),
            second: pair.second.clone(),
            differs: pair.differs.clone(),
            sole: pair.factor.clone(),
            verdict,
            p: if pair.verdict == Verdict::NothingToSee { numbers.p_exact } else { numbers.p },
            holm: numbers.p_holm,
        }
    }
}
