//! Arms in trials in growers without priors.

use propagule_analysis::meta::{self, Correction, Multivariate};
use propagule_analysis::mixed::{self, Group};
use serde_json::json;

use super::likelihood::{Z, observation};
use super::{Got, got};
use crate::reference_runner::case::{Case, Check};
use crate::reference_runner::table::Row;

fn same<'a>(rows: &'a [Row], columns: &'a [&str]) -> impl Fn(usize, usize) -> bool + 'a {
    move |i, j| columns.iter().all(|c| rows[i].get(c) == rows[j].get(c))
}

pub(crate) fn compute(case: &Case, check: &Check) -> Result<Option<Got>, String> {
    match check.name.as_str() {
        "rma.mv.REML" => normal(case, true).map(Some),
        "rma.mv.ML" => normal(case, false).map(Some),
        "glmer.laplace" => laplace(case).map(Some),
        "nested_exact_ML" => exact(case).map(Some),
        _ => Ok(None),
    }
}

fn normal(case: &Case, restricted: bool) -> Result<Got, String> {
    let table = case.table()?;
    let effects: Vec<_> =
        table.counts()?.iter().map(|c| meta::logit_rate(*c, Correction::WhereZero)).collect();
    let n = effects.len();
    let square = |entry: &dyn Fn(usize, usize) -> f64| -> Vec<Vec<f64>> {
        (0..n).map(|i| (0..n).map(|j| entry(i, j)).collect()).collect()
    };
    let shared = |columns: &[&str]| {
        let same = same(&table.rows, columns);
        square(&|i, j| f64::from(u8::from(same(i, j))))
    };
    let model = Multivariate {
        estimates: effects.iter().map(|e| e.estimate).collect(),
        covariance: square(&|i, j| if i == j { effects[i].variance } else { 0.0 }),
        design: vec![vec![1.0]; n],
        patterns: vec![shared(&["grower"]), shared(&["grower", "trial"])],
    };
    let fit = model.fit(restricted).map_err(|e| e.to_string())?;
    let (mu, se) = (fit.beta[0], fit.covariance[0][0].sqrt());
    Ok(got([
        ("mu", json!(mu)),
        ("se", json!(se)),
        ("ci", json!([mu - Z * se, mu + Z * se])),
        ("sigma2_grower", json!(fit.variances[0])),
        ("sigma2_trial", json!(fit.variances[1])),
        ("Q", json!(fit.q)),
        ("loglik", json!(fit.log_likelihood)),
    ]))
}

/// Rows of each grower together.
fn by_grower(case: &Case) -> Result<Vec<Vec<Row>>, String> {
    let mut growers: Vec<(String, Vec<Row>)> = Vec::new();
    for row in &case.table()?.rows {
        let name = row.text("grower")?.to_owned();
        match growers.iter_mut().find(|(known, _)| *known == name) {
            Some((_, rows)) => rows.push(row.clone()),
            None => growers.push((name, vec![row.clone()])),
        }
    }
    Ok(growers.into_iter().map(|(_, rows)| rows).collect())
}

/// One effect of the grower, and one of every trial.
fn laplace(case: &Case) -> Result<Got, String> {
    let mut groups = Vec::new();
    for rows in by_grower(case)? {
        let mut trials: Vec<&str> = rows.iter().filter_map(|r| r.get("trial")).collect();
        trials.sort_unstable();
        trials.dedup();
        let mut observations = Vec::new();
        for row in &rows {
            let mut random = vec![0.0; 1 + trials.len()];
            random[0] = 1.0;
            let place = trials.iter().position(|t| row.get("trial") == Some(t)).ok_or("no trial")?;
            random[1 + place] = 1.0;
            observations.push(observation(row.count()?, vec![1.0], random));
        }
        let mut spreads = vec![1; 1 + trials.len()];
        spreads[0] = 0;
        groups.push(Group { observations, spreads });
    }
    let fit = mixed::fit_mixed(&groups, 2, 1).map_err(|e| e.to_string())?;
    Ok(got([
        ("mu", json!(fit.beta[0])),
        ("se", json!(fit.se[0])),
        ("sd_grower", json!(fit.spreads[0])),
        ("sd_trial", json!(fit.spreads[1])),
        ("loglik", json!(fit.log_likelihood)),
    ]))
}

/// ln n! by summing.
fn ln_factorial(n: u32) -> f64 {
    (2..=n).map(|k| f64::from(k).ln()).sum()
}

fn exact(case: &Case) -> Result<Got, String> {
    let growers = super::rate::growers(case)?;
    let fit = mixed::maximum_likelihood_nested(&growers).map_err(|e| e.to_string())?;
    let ln_choose = |n: u32, r: u32| ln_factorial(n) - ln_factorial(r) - ln_factorial(n - r);
    // The reference counts the ways within every arm, the crate within every trial.
    let arms: f64 = case.table()?.counts()?.iter().map(|c| ln_choose(c.started, c.succeeded)).sum();
    let trials: f64 = growers.iter().flat_map(|g| &g.trials).map(|c| ln_choose(c.started, c.succeeded)).sum();
    Ok(got([
        ("mu", json!(fit.mu)),
        ("sd_grower", json!(fit.sd_grower)),
        ("sd_trial", json!(fit.sd_trial)),
        ("loglik", json!(fit.log_likelihood + arms - trials)),
    ]))
}
