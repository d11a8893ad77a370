//! The default model.

use std::collections::BTreeMap;

use propagule_analysis::rate::{self, Levels, Options, RateFit};
use propagule_analysis::{Count, Grower, compare};
use serde_json::{Value, json};

use super::{Got, got, lattice_rule, numbers};
use crate::reference_runner::case::{Case, Check};

/// Every row as a site of its own.
fn sites(counts: &[Count]) -> Vec<Grower> {
    counts.iter().map(|count| Grower::new(vec![*count], 1.0)).collect()
}

fn fit(growers: &[Grower], levels: Levels, grower_sd: f64) -> Result<RateFit, String> {
    let options = Options { levels, grower_sd, ..Options::default() };
    rate::fit(growers, &options).map_err(|e| e.to_string())
}

/// All fields of the summary by their names.
pub(crate) fn summary(fit: &RateFit) -> Result<Got, String> {
    let value = serde_json::to_value(fit.summary()).map_err(|e| e.to_string())?;
    let map = value.as_object().ok_or("the summary is no object")?;
    Ok(map.iter().map(|(k, v)| (k.clone(), v.clone())).collect())
}

pub(crate) fn two_level(case: &Case, check: &Check) -> Result<Option<Got>, String> {
    let growers = sites(&case.table()?.counts()?);
    let prior =
        check.name.split("tau_sd_").nth(1).map_or(Ok(1.0), str::parse).map_err(|_| "no prior scale")?;
    let fit = fit(&growers, Levels::Two, prior)?;
    if check.name.starts_with("bayes_quadrature") {
        return lattice_rule::summary(&fit, prior).map(Some);
    }
    if check.name.starts_with("bayes_") {
        return summary(&fit).map(Some);
    }
    if check.name.starts_with("predictive_count") {
        return Ok(Some(got([("prob", json!(fit.predictive(check.whole("n")?)))])));
    }
    if check.name == "how_many_to_stick" {
        let (wants, sures) = (check.numbers("y")?, check.numbers("q")?);
        let smallest = |(y, q): (&f64, &f64)| json!(fit.number_to_start(*y as u32, *q));
        return Ok(Some(got([("n", wants.iter().zip(&sures).map(smallest).collect())])));
    }
    Ok(None)
}

/// Each row left out in turn.
pub(crate) fn leave_one_out(case: &Case, check: &Check) -> Result<Got, String> {
    let counts = case.data_table(&check.name)?.counts()?;
    let options = Options { levels: Levels::Two, ..Options::default() };
    let (mut percentile, mut seen, mut rate, mut tau) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    for index in 0..counts.len() {
        let mut others = sites(&counts);
        others.remove(index);
        let result = compare::against(&others, counts[index], &options).map_err(|e| e.to_string())?;
        percentile.push(result.mid_p_percentile);
        seen.push(result.predictive[counts[index].succeeded as usize]);
        rate.push(result.fit.summary().average_grower_rate_mean);
        tau.push(result.fit.summary().tau_mean);
    }
    let total: f64 = seen.iter().map(|p| p.ln()).sum();
    Ok(got([
        ("mid_p_percentile", numbers(percentile)),
        ("predictive_prob_of_seen", numbers(seen)),
        ("average_grower_rate_without", numbers(rate)),
        ("tau_mean_without", numbers(tau)),
        ("log_pointwise_predictive_total", json!(total)),
    ]))
}

/// Growers of the table, the arms of one trial added.
pub(crate) fn growers(case: &Case) -> Result<Vec<Grower>, String> {
    let mut growers: BTreeMap<String, BTreeMap<String, Count>> = BTreeMap::new();
    for row in &case.table()?.rows {
        let count = row.count()?;
        let trials = growers.entry(row.text("grower")?.to_owned()).or_default();
        let sum = trials.entry(row.text("trial")?.to_owned()).or_insert(Count { started: 0, succeeded: 0 });
        sum.started += count.started;
        sum.succeeded += count.succeeded;
    }
    Ok(growers.into_values().map(|trials| Grower::new(trials.into_values().collect(), 1.0)).collect())
}

/// Trials within growers.
pub(crate) fn three_level(case: &Case, check: &Check) -> Result<Option<Got>, String> {
    if !check.name.starts_with("bayes_three_level") {
        return Ok(None);
    }
    let growers = growers(case)?;
    let mut values = summary(&fit(&growers, Levels::Three, 1.0)?)?;
    for (ours, theirs) in [
        ("new_grower_rate_mean", "new_grower_new_trial_rate_mean"),
        ("new_grower_rate_q", "new_grower_new_trial_rate_q"),
    ] {
        let value: Value = values[ours].clone();
        values.insert(theirs.to_owned(), value);
    }
    Ok(Some(values))
}
