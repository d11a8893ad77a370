//! Verdicts of a trial as data: every number behind them, null where there is none.

use propagule_analysis::contrast::Pair;
use propagule_analysis::exact::OddsRatio;
use propagule_analysis::verdict::{Comparison, PairVerdict, Reading, Verdict};
use serde_json::{Value, json};

use propagule_answer::words::bench::VerdictFacts;
use propagule_bench::Trial;
use propagule_bench::results::StageResult;

/// What the trial asks.
pub(super) fn family(trial: &Trial, result: &StageResult) -> Value {
    let family = &result.family;
    let control = family.control.and_then(|place| trial.arms.get(place)).map(|arm| arm.label.as_str());
    json!({ "kind": family.kind, "size": family.size, "control": control })
}

/// A pair as the first version told it.
pub(super) fn comparison(pair: &PairVerdict) -> Value {
    let verdict = match pair.verdict {
        Verdict::SingleUnit => "one_pot_each",
        Verdict::Confounded => "cannot_separate",
        Verdict::NothingToSee => "nothing_to_see",
        Verdict::Pending => "pending",
        _ => "tested",
    };
    let reading = pair.reading.as_ref();
    let p = reading.and_then(|reading| match pair.verdict {
        Verdict::NothingToSee => Some(reading.comparison.p_exact),
        _ => reading.comparison.p,
    });
    json!({ "first": pair.first.label, "second": pair.second.label, "differs": pair.differs, "sole": pair.factor,
        "verdict": verdict, "p": p, "holm": reading.and_then(|reading| reading.p_holm) })
}

/// A pair with all its numbers, its verdict, its reason and its sentence.
pub(super) fn verdict(facts: &VerdictFacts<'_>) -> Value {
    let pair = facts.pair;
    let mut out = pair.reading.as_ref().map_or_else(nothing, numbers);
    let better = pair.first_is_better.map(|first| if first { &pair.first.label } else { &pair.second.label });
    let within = pair
        .within
        .iter()
        .map(|within| json!({ "stratum": within.stratum, "odds_ratio": within.odds_ratio.map(odds) }));
    let more = json!({
        "first": pair.first.label, "second": pair.second.label, "factor": pair.factor, "differs": pair.differs,
        "blocks": pair.blocks, "blocks_left_out": pair.blocks_left_out, "within": within.collect::<Vec<_>>(),
        "lost_left_out": pair.lost_left_out.as_ref().map(numbers), "in_family": pair.is_in_family,
        "verdict": pair.verdict, "better": better, "reason": facts.said(), "sentence": facts.sentence(),
    });
    merge(&mut out, more);
    out
}

fn merge(into: &mut Value, more: Value) {
    if let (Value::Object(into), Value::Object(more)) = (into, more) {
        into.extend(more);
    }
}

/// The keys of `numbers`, all null: the pair is not counted yet.
fn nothing() -> Value {
    json!({ "design": null, "strata": null, "totals": null, "p_exact": null, "phi_hat": null, "phi": null, "df": null,
        "t": null, "p_pots": null, "p": null, "p_holm": null, "difference": null, "odds_ratio": null,
        "fisher_on_totals": null, "boschloo": null })
}

fn numbers(reading: &Reading) -> Value {
    let Comparison { design, strata, totals, pots, .. } = &reading.comparison;
    let found = &reading.comparison;
    json!({
        "design": design, "strata": strata.iter().map(row).collect::<Vec<_>>(), "totals": row(totals),
        "p_exact": found.p_exact, "phi_hat": pots.map(|pots| pots.phi_hat), "phi": found.phi,
        "df": pots.map(|pots| pots.df), "t": found.t, "p_pots": found.p_pots, "p": found.p, "p_holm": reading.p_holm,
        "difference": found.difference, "odds_ratio": found.odds_ratio().map(odds),
        "fisher_on_totals": found.fisher_on_totals, "boschloo": found.boschloo(), "verdict": reading.verdict,
    })
}

/// Succeeded and put in of the first side, then of the second.
fn row(pair: &Pair) -> [u32; 4] {
    [pair.first.succeeded, pair.first.started, pair.second.succeeded, pair.second.started]
}

/// Estimate and limits; one that has no end is null.
fn odds(odds: OddsRatio) -> [Option<f64>; 3] {
    [odds.estimate, odds.low, odds.high].map(|value| value.is_finite().then_some(value))
}
