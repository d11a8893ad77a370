//! Replicates of one treatment.

use propagule_analysis::mixed::Group;
use propagule_analysis::{Count, mixed, overdispersion};
use serde_json::json;

use super::likelihood::observation;
use super::{Got, got, numbers};
use crate::reference_runner::case::{Case, Check};
use crate::reference_runner::table::{Row, Table};

/// Seed line and extract of a plate as 0 and 1.
fn factors(row: &Row) -> (f64, f64) {
    let is = |column: &str, value: &str| f64::from(u8::from(row.get(column) == Some(value)));
    (is("medium", "aegyptiaca73"), is("method", "cucumber_extract"))
}

fn plates(case: &Case, group: &str) -> Result<Table, String> {
    if group == "syn_pots" {
        return case.table_at("data/syn_pots.csv");
    }
    let table = case.table()?.clone();
    let Some(labels) = group.strip_prefix("orobanche_x1_") else { return Ok(table) };
    let (x1, x2) = labels.split_once("_x2_").ok_or("no second factor")?;
    let wanted = (x1.parse().map_err(|_| "no factor")?, x2.parse().map_err(|_| "no factor")?);
    Ok(table.filtered(|row| factors(row) == wanted))
}

pub(crate) fn compute(case: &Case, check: &Check) -> Result<Option<Got>, String> {
    if let Some((group, what)) = check.name.split_once('.') {
        let counts = plates(case, group)?.counts()?;
        return match what {
            "pearson" => pearson(&counts).map(Some),
            "betabinomial_ML" => beta_binomial(&counts).map(Some),
            _ => Ok(None),
        };
    }
    let table = case.table()?;
    let (counts, columns) = (table.counts()?, table.rows.iter().map(factorial).collect::<Vec<_>>());
    match check.name.as_str() {
        "orobanche_factorial_quasi" => quasi(&counts, &columns).map(Some),
        name => match name.strip_prefix("orobanche_glmm_nAGQ") {
            Some(nodes) => mixed_model(&counts, &columns, nodes.parse().map_err(|_| "no nodes")?).map(Some),
            None => Ok(None),
        },
    }
}

/// Intercept, both factors and their product.
fn factorial(row: &Row) -> Vec<f64> {
    let (x1, x2) = factors(row);
    vec![1.0, x1, x2, x1 * x2]
}

fn pearson(counts: &[Count]) -> Result<Got, String> {
    let test = overdispersion::dispersion(counts).ok_or("no dispersion")?;
    Ok(got([
        ("k", json!(test.replicates)),
        ("p_pooled", json!(test.pooled)),
        ("pearson_X2", json!(test.pearson)),
        ("df", json!(test.df)),
        ("phi", json!(test.phi)),
        ("p_value", json!(test.p)),
        ("deviance", json!(test.deviance)),
        ("icc_anova", json!(test.icc)),
    ]))
}

fn beta_binomial(counts: &[Count]) -> Result<Got, String> {
    let fit = overdispersion::beta_binomial(counts).ok_or("no maximum")?;
    Ok(got([
        ("mu", json!(fit.mu)),
        ("rho", json!(fit.rho)),
        ("loglik", json!(fit.log_likelihood)),
        ("loglik_binomial", json!(fit.log_likelihood_binomial)),
        ("vgam_mu", json!(fit.mu)),
        ("vgam_rho", json!(fit.rho)),
    ]))
}

fn quasi(counts: &[Count], columns: &[Vec<f64>]) -> Result<Got, String> {
    let fit = overdispersion::quasi_binomial(counts, columns).ok_or("singular")?;
    Ok(got([
        ("beta", numbers(fit.beta)),
        ("se_binomial", numbers(fit.se_binomial)),
        ("se_quasi", numbers(fit.se_quasi)),
        ("pearson_X2", json!(fit.pearson)),
        ("df", json!(fit.df)),
        ("phi", json!(fit.phi)),
    ]))
}

fn mixed_model(counts: &[Count], columns: &[Vec<f64>], nodes: usize) -> Result<Got, String> {
    let group = |(c, x): (&Count, &Vec<f64>)| Group {
        observations: vec![observation(*c, x.clone(), vec![1.0])],
        spreads: vec![0],
    };
    let groups: Vec<Group> = counts.iter().zip(columns).map(group).collect();
    let fit = mixed::fit_mixed(&groups, 1, nodes).map_err(|e| e.to_string())?;
    Ok(got([("beta", numbers(fit.beta)), ("se", numbers(fit.se)), ("sd_plate", json!(fit.spreads[0]))]))
}
