//! What may be said of pairs of arms, with every number behind it; null where there is none.

use propagule_analysis::Pair;
use propagule_analysis::exact::OddsRatio;
use propagule_analysis::overdispersion::dispersion;
use propagule_analysis::verdict::{Comparison, Design, FamilyKind, PairVerdict, Reading, Reason, Verdict};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use propagule_bench::Trial;
use propagule_bench::results::StageResult;

/// What may be said of the treatments of a trial at a stage.
#[derive(Clone, Debug, PartialEq)]
pub struct Judged {
    /// What the trial asks.
    pub family: FamilyRow,
    /// What may be said of each pair.
    pub verdicts: Vec<VerdictRow>,
    /// How the pots of each treatment differ, where it has several.
    pub pots: Vec<PotsRow>,
}

/// What the trial asks.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct FamilyRow {
    /// What is asked.
    pub kind: FamilyKind,
    /// How many comparisons are corrected for.
    pub size: usize,
    /// Label of the control treatment.
    pub control: Option<String>,
    /// Whether units were placed at random.
    pub is_randomised: bool,
}

/// How the pots of a treatment differ.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PotsRow {
    /// Label of the treatment.
    pub arm: String,
    /// Pearson's X² over its degrees of freedom.
    pub dispersion: f64,
    /// Its p.
    pub p: f64,
}

/// A pair with all its numbers and its verdict.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct VerdictRow {
    /// Label of the first side.
    pub first: String,
    /// Label of the second side.
    pub second: String,
    /// The one thing that differs, where it is one.
    pub factor: Option<String>,
    /// Names of all that differs.
    pub differs: Vec<String>,
    /// Strata that hold both sides.
    pub blocks: usize,
    /// Strata that hold only one side, left out.
    pub blocks_left_out: usize,
    /// Factorial: the odds ratio within each level of the others.
    pub within: Vec<WithinRow>,
    /// The numbers with lost propagules left out.
    pub lost_left_out: Option<ReadingRow>,
    /// Whether it belongs to the family that is corrected for.
    pub in_family: bool,
    /// What may be said.
    pub verdict: Verdict,
    /// Label of the better side, where one is.
    pub better: Option<String>,
    /// Why.
    pub because: Reason,
    /// The numbers with lost propagules as failures.
    #[serde(flatten)]
    pub numbers: VerdictNumbers,
}

/// Odds ratio of a factor within one level of the others.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct WithinRow {
    /// The levels of the others.
    pub stratum: String,
    /// Estimate and limits; one that has no end is none.
    pub odds_ratio: Option<Odds>,
}

/// An odds ratio with its limits; what has no end is none.
pub type Odds = [Option<f64>; 3];

/// One reading of a pair by itself.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ReadingRow {
    /// Its numbers.
    #[serde(flatten)]
    pub numbers: VerdictNumbers,
    /// What it says by itself.
    pub verdict: Verdict,
}

/// The numbers of one reading; all none while the pair is not counted.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct VerdictNumbers {
    /// How the treatments stand to each other.
    pub design: Option<Design>,
    /// Succeeded and started of the first side, then of the second, stratum by stratum.
    pub strata: Option<Vec<[u32; 4]>>,
    /// The same over all strata.
    pub totals: Option<[u32; 4]>,
    /// Exact p within strata as if every propagule were independent, two-sided.
    pub p_exact: Option<f64>,
    /// How much more pots differ than propagules would, as estimated.
    pub phi_hat: Option<f64>,
    /// The same, moderated.
    pub phi: Option<f64>,
    /// Degrees of freedom of the estimate.
    pub df: Option<u32>,
    /// Moderated t of the pots.
    pub t: Option<f64>,
    /// Its two-sided p.
    pub p_pots: Option<f64>,
    /// The p that counts.
    pub p: Option<f64>,
    /// The same after Holm's correction.
    pub p_holm: Option<f64>,
    /// Difference of rates, first less second, with its limits.
    pub difference: Option<[f64; 3]>,
    /// Odds ratio over all strata.
    pub odds_ratio: Option<Odds>,
    /// Fisher's p of the totals.
    pub fisher_on_totals: Option<f64>,
    /// Boschloo's p, where it is worth its time.
    pub boschloo: Option<f64>,
}

/// What may be said of the treatments of a trial at a stage.
pub(super) fn judged(trial: &Trial, result: &StageResult) -> Judged {
    let family = &result.family;
    let control = family.control.and_then(|place| trial.arms.get(place)).map(|arm| arm.label.clone());
    let pots = result.arms.iter().filter_map(|arm| {
        let found = dispersion(&arm.replicates)?;
        Some(PotsRow { arm: arm.label.clone(), dispersion: found.phi, p: found.p })
    });
    Judged {
        family: FamilyRow {
            kind: family.kind,
            size: family.size,
            control,
            is_randomised: result.is_randomised,
        },
        verdicts: result.verdicts.iter().map(VerdictRow::of).collect(),
        pots: pots.collect(),
    }
}

impl VerdictRow {
    /// A pair as it was judged.
    pub fn of(pair: &PairVerdict) -> Self {
        let better =
            pair.first_is_better.map(|first| if first { &pair.first.label } else { &pair.second.label });
        let within = pair.within.iter().map(|within| WithinRow {
            stratum: within.stratum.clone(),
            odds_ratio: within.odds_ratio.map(odds),
        });
        Self {
            first: pair.first.label.clone(),
            second: pair.second.label.clone(),
            factor: pair.factor.clone(),
            differs: pair.differs.clone(),
            blocks: pair.blocks,
            blocks_left_out: pair.blocks_left_out,
            within: within.collect(),
            lost_left_out: pair
                .lost_left_out
                .as_ref()
                .map(|reading| ReadingRow { numbers: numbers(reading), verdict: reading.verdict }),
            in_family: pair.is_in_family,
            verdict: pair.verdict,
            better: better.cloned(),
            because: pair.reason.clone(),
            numbers: pair.reading.as_ref().map(numbers).unwrap_or_default(),
        }
    }
}

fn numbers(reading: &Reading) -> VerdictNumbers {
    let found: &Comparison = &reading.comparison;
    VerdictNumbers {
        design: Some(found.design),
        strata: Some(found.strata.iter().map(row).collect()),
        totals: Some(row(&found.totals)),
        p_exact: Some(found.p_exact),
        phi_hat: found.pots.map(|pots| pots.phi_hat),
        phi: found.phi,
        df: found.pots.map(|pots| pots.df),
        t: found.t,
        p_pots: found.p_pots,
        p: found.p,
        p_holm: reading.p_holm,
        difference: found.difference,
        odds_ratio: found.odds_ratio().map(odds),
        fisher_on_totals: Some(found.fisher_on_totals),
        boschloo: found.boschloo(),
    }
}

fn row(pair: &Pair) -> [u32; 4] {
    [pair.first.succeeded, pair.first.started, pair.second.succeeded, pair.second.started]
}

fn odds(odds: OddsRatio) -> Odds {
    [odds.estimate, odds.low, odds.high].map(|value| value.is_finite().then_some(value))
}
