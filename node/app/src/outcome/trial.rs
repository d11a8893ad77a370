//! One trial as it stands: its method, its counts, and what they show.

use propagule_bench::dates::When;
use propagule_bench::kind::Kind;
use propagule_bench::spot::Care;
use propagule_bench::{Entry, SeasonFault, Stage, Trial};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::judged::{ComparisonRow, VerdictShown};
use super::said::Said;
use propagule_answer::trial::{
    CurveRow, FamilyRow, Judged, Life, Lineage, NowRow, PotsRow, StageAnswer, Suckers,
};

/// One trial as it stands.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct TrialShown {
    /// How it is described, with what its entries changed.
    pub trial: Trial,
    /// The kind of propagation, which decides the words.
    pub kind: Kind,
    /// Whether what only an adviser asks for is told by a command.
    pub in_detail: bool,
    /// The entry that closed it; none where it is open.
    pub closed: Option<ClosedBy>,
    /// Where each treatment stands, and how it got there.
    pub stands: Vec<ArmStands>,
    /// How each treatment stands.
    pub now: Vec<NowRow>,
    /// Stages that were counted, in their order.
    pub stages: Vec<StageShown>,
    /// Propagules that left before any final count.
    pub left_so_far: Vec<LeftSoFar>,
    /// What became of those that still waited at the first stage, once they were looked at again.
    pub life: Option<Life>,
    /// Suckers that were removed, where propagules stand on stocks.
    pub suckers: Option<Suckers>,
    /// Trials that it follows or that follow it.
    pub lineage: Lineage,
    /// What was scored of roots and grades, place by place.
    pub scores: Vec<Scored>,
    /// Each treatment after each day.
    pub curve: Vec<CurveShown>,
    /// Started, and the lead outcome of each stage.
    pub funnel: Vec<FunnelStep>,
    /// Entries that contradict an earlier one and are left out.
    pub left_out: Vec<Contradiction>,
}

/// The entry that closed a trial.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ClosedBy {
    /// Its number.
    pub entry: u64,
    /// What it says.
    pub stands: Entry,
}

/// Where a treatment stands, and how it got there.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ArmStands {
    /// Its label.
    pub arm: String,
    /// Its bench on the day of the last look.
    pub spot: Option<String>,
    /// The log of that bench.
    pub care: Vec<CareGiven>,
    /// Where it was moved.
    pub moves: Vec<ArmMove>,
}

/// The mist, shade, heat and water log of a bench.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CareGiven {
    /// From then on.
    pub from: When,
    /// What.
    pub care: Care,
}

/// A move of a treatment.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct ArmMove {
    /// Where to.
    pub to: String,
    /// Weeks after it was started.
    pub weeks: i32,
    /// The structure from then on, where the move says it.
    pub growing_place: Option<String>,
}

/// A stage, with what its counts show and do not show.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct StageShown {
    /// Its counts.
    #[serde(flatten)]
    pub counts: StageAnswer,
    /// The word for what succeeded.
    pub word: Said,
    /// What the trial asks; none where the treatments are not judged.
    pub family: Option<FamilyRow>,
    /// Pairs as the first version told them.
    pub comparisons: Vec<ComparisonRow>,
    /// What may be said of each pair.
    pub verdicts: Vec<VerdictShown>,
    /// How the pots of each treatment differ, where it has several.
    pub pots: Vec<PotsRow>,
}

/// Propagules of a treatment that left before any final count.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct LeftSoFar {
    /// Its label.
    pub arm: String,
    /// Started.
    pub started: u32,
    /// Sold, given or planted out as finished.
    pub left: u32,
    /// Here and alive.
    pub kept: u32,
}

/// Roots and grades of a place as scored on a day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Scored {
    /// The day.
    pub on: When,
    /// The place.
    pub place: String,
    /// Roots of each propagule.
    pub root_counts: Vec<u16>,
    /// Millimetres.
    pub longest_root: Option<u16>,
    /// Propagules of each grade, from 0.
    pub grades: Vec<u16>,
    /// Whose scale it is.
    pub grade_scale: Option<String>,
}

/// A treatment after one day.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CurveShown {
    /// Its shares.
    #[serde(flatten)]
    pub row: CurveRow,
    /// Share with the outcome by then, those that are gone left out of it from then on.
    pub estimate: f64,
}

/// How many of a treatment came so far.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct FunnelStep {
    /// Its label.
    pub arm: String,
    /// How far; none is started.
    pub stage: Option<Stage>,
    /// How many.
    pub count: u32,
    /// Started.
    pub of: u32,
}

/// An entry that contradicts an earlier one.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Contradiction {
    /// Its number.
    pub entry: u64,
    /// What is wrong with it.
    pub fault: SeasonFault,
}

impl StageShown {
    /// A stage of a trial of a kind.
    pub fn of(mut counts: StageAnswer, kind: Kind) -> Self {
        let word = Said::OutcomeAt { stage: counts.stage, kind };
        let Some(Judged { family, verdicts, pots }) = counts.judged.take() else {
            let (comparisons, verdicts, pots) = (Vec::new(), Vec::new(), Vec::new());
            return Self { counts, word, family: None, comparisons, verdicts, pots };
        };
        let stage = counts.stage;
        Self {
            comparisons: verdicts.iter().map(ComparisonRow::of).collect(),
            verdicts: verdicts
                .into_iter()
                .map(|row| VerdictShown::new(row, family.clone(), stage, kind))
                .collect(),
            family: Some(family),
            counts,
            word,
            pots,
        }
    }
}

impl ClosedBy {
    /// An entry that closed a trial.
    pub fn new(entry: u64, stands: &Entry) -> Self {
        Self { entry, stands: stands.clone() }
    }
}
