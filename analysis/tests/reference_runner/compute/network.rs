//! Several methods.

use propagule_analysis::meta;
use propagule_analysis::mixed::{self, Group};
use propagule_analysis::network::{self, NetworkEstimate, NetworkTrial, TrialArm};
use serde_json::{Value, json};

use super::likelihood::{Z, observation};
use super::{Got, got, number, numbers};
use crate::reference_runner::case::{Case, Check};

/// Trials of the table with methods by their place in `methods`.
fn trials(case: &Case, methods: &[String]) -> Result<Vec<NetworkTrial>, String> {
    let mut out: Vec<(String, NetworkTrial)> = Vec::new();
    for row in &case.table()?.rows {
        let label = row.text("method")?;
        let Some(method) = methods.iter().position(|m| m == label) else { continue };
        let arm = TrialArm { method, count: row.count()? };
        let trial = row.text("trial")?.to_owned();
        match out.iter_mut().find(|(name, _)| *name == trial) {
            Some((_, known)) => known.arms.push(arm),
            None => out.push((trial, NetworkTrial { arms: vec![arm] })),
        }
    }
    Ok(out.into_iter().map(|(_, trial)| trial).collect())
}

fn texts(value: &Value) -> Vec<String> {
    value.as_array().into_iter().flatten().filter_map(|v| v.as_str().map(str::to_owned)).collect()
}

pub(crate) fn compute(case: &Case, check: &Check) -> Result<Option<Got>, String> {
    if check.name == "components" {
        return components(case).map(Some);
    }
    let mut methods = match check.expected.get("methods") {
        Some(_) => texts(check.input("methods")?),
        None => texts(case.checks[0].expected.get("methods").ok_or("no methods anywhere")?),
    };
    if check.name.starts_with("net") && !check.name.starts_with("network") {
        return moments(case, check, &mut methods);
    }
    let trials = trials(case, &methods)?;
    let count = methods.len();
    let text = |e: meta::MetaError| e.to_string();
    let values = match check.name.as_str() {
        "network.common_effect" => {
            let fit = network::common_effect(count, &trials).map_err(text)?;
            let mut values = league(case, check, &fit, &trials)?;
            values.extend(heterogeneity(&fit));
            values
        }
        "network.random.REML" | "network.random.ML" => {
            let fit = network::random_effects(count, &trials, check.name.ends_with("REML")).map_err(text)?;
            let mut values = league(case, check, &fit, &trials)?;
            let wald = meta::wald_statistic(&fit.log_or, &fit.covariance).ok_or("singular")?;
            values.insert("QM".to_owned(), json!(wald.0));
            values.insert("QM_p".to_owned(), json!(wald.1));
            values
        }
        "network.rank_probability" => {
            let fit = network::random_effects(count, &trials, true).map_err(text)?;
            let table = network::rank_probabilities(&fit.log_or, &fit.covariance).ok_or("singular")?;
            got([("prob", json!(table.probability)), ("sucra", json!(table.sucra))])
        }
        "network.inconsistency_random" => {
            let (tau2, omega2, log_or) = network::inconsistency(count, &trials).map_err(text)?;
            got([
                ("tau2_heterogeneity", json!(tau2)),
                ("tau2_inconsistency", json!(omega2)),
                ("log_or_vs_reference", numbers(log_or)),
            ])
        }
        "network.binomial_common" => {
            let fit = network::binomial_common(count, &trials).ok_or("singular")?;
            got([
                ("log_or_vs_reference", numbers(fit.iter().map(|f| f.0))),
                ("se", json!(fit.iter().map(|f| f.1).collect::<Vec<_>>())),
            ])
        }
        "network.glmer_random_trial" => random_trial(count, &trials)?,
        "posterior" => bayes(count, &trials)?,
        _ => return Ok(None),
    };
    Ok(Some(values))
}

/// All fields of the Bayesian fit by their names.
fn bayes(methods: usize, trials: &[NetworkTrial]) -> Result<Got, String> {
    let options = network::NetworkOptions::default();
    let fit = network::bayes(methods, trials, &options).map_err(|e| e.to_string())?;
    let value = serde_json::to_value(fit).map_err(|e| e.to_string())?;
    Ok(value.as_object().ok_or("no object")?.iter().map(|(k, v)| (k.clone(), v.clone())).collect())
}

fn components(case: &Case) -> Result<Got, String> {
    let mut methods: Vec<String> = Vec::new();
    for row in &case.table()?.rows {
        methods.push(row.text("method")?.to_owned());
    }
    methods.sort();
    methods.dedup();
    let found = network::components(methods.len(), &trials(case, &methods)?);
    let members: Vec<Vec<&String>> = found.iter().map(|c| c.iter().map(|k| &methods[*k]).collect()).collect();
    Ok(got([
        ("count", json!(found.len())),
        ("sizes", json!(found.iter().map(Vec::len).collect::<Vec<_>>())),
        ("members", json!(members)),
    ]))
}

fn league(case: &Case, check: &Check, fit: &NetworkEstimate, trials: &[NetworkTrial]) -> Result<Got, String> {
    let count = fit.log_or.len() + 1;
    let reference = check.input("reference")?.clone();
    let all = all_methods(case, reference.as_str().unwrap_or_default())?;
    let (_, seen) = network::usable(all.len(), &self::trials(case, &all)?);
    let lost: Vec<&String> = all.iter().zip(&seen).filter(|(_, seen)| !**seen).map(|(m, _)| m).collect();
    let se: Vec<f64> = (1..count).map(|i| fit.contrast(i, 0).1.sqrt()).collect();
    let ends = |sign: f64| numbers(fit.log_or.iter().zip(&se).map(|(b, s)| b + sign * Z * s));
    let square = |f: &dyn Fn(usize, usize) -> f64| -> Value {
        (0..count).map(|i| numbers((0..count).map(|j| f(i, j)))).collect()
    };
    let used = trials.iter().filter(|t| t.is_informative()).count();
    let mut values = got([
        ("methods_without_information", json!(lost)),
        ("trials_used", json!(used)),
        ("log_or_vs_reference", numbers(fit.log_or.iter().copied())),
        ("ci_lo", ends(-1.0)),
        ("ci_hi", ends(1.0)),
        ("league_log_or_row_minus_column", square(&|i, j| fit.contrast(i, j).0)),
        ("p_score_higher_is_better", numbers(network::p_scores(&fit.log_or, &fit.covariance))),
        ("tau2", json!(fit.tau2)),
        ("se", numbers(se)),
    ]);
    // Written as one list or as rows.
    let league_se = square(&|i, j| fit.contrast(i, j).1.sqrt());
    let flat =
        check.expected["league_se"].as_array().is_some_and(|l| l.first().is_some_and(Value::is_number));
    let entry = if flat {
        league_se
            .as_array()
            .into_iter()
            .flatten()
            .flat_map(|row| row.as_array().cloned().unwrap_or_default())
            .collect()
    } else {
        league_se
    };
    values.insert("league_se".to_owned(), entry);
    Ok(values)
}

/// All methods of the table, the reference first.
fn all_methods(case: &Case, reference: &str) -> Result<Vec<String>, String> {
    let mut rest: Vec<String> = Vec::new();
    for row in &case.table()?.rows {
        rest.push(row.text("method")?.to_owned());
    }
    rest.sort();
    rest.dedup();
    rest.retain(|m| m != reference);
    rest.insert(0, reference.to_owned());
    Ok(rest)
}

fn heterogeneity(fit: &NetworkEstimate) -> Got {
    got([("Q", json!(fit.q)), ("Q_df", json!(fit.q_df)), ("Q_p", json!(fit.q_p()))])
}

/// Fixed methods, random trials, Laplace.
fn random_trial(methods: usize, trials: &[NetworkTrial]) -> Result<Got, String> {
    let group = |trial: &NetworkTrial| Group {
        observations: trial
            .arms
            .iter()
            .map(|arm| {
                let mut fixed = vec![0.0; methods];
                fixed[0] = 1.0;
                fixed[arm.method] = 1.0;
                observation(arm.count, fixed, vec![1.0])
            })
            .collect(),
        spreads: vec![0],
    };
    let groups: Vec<Group> = trials.iter().map(group).collect();
    let fit = mixed::fit_mixed(&groups, 1, 1).map_err(|e| e.to_string())?;
    Ok(got([
        ("intercept", json!(fit.beta[0])),
        ("log_or_vs_reference", numbers(fit.beta[1..].iter().copied())),
        ("se", numbers(fit.se[1..].iter().copied())),
        ("sd_trial", json!(fit.spreads[0])),
    ]))
}

/// The network by moments, methods in alphabetical order with the reference among them.
fn moments(case: &Case, check: &Check, methods: &mut Vec<String>) -> Result<Option<Got>, String> {
    // The reference is the method without a standard error in the case's first check.
    let without = case.checks[0].expected.get("se").and_then(Value::as_array).ok_or("no se")?;
    let place = without.iter().position(Value::is_null).ok_or("no reference")?;
    let reference = methods.remove(place);
    methods.insert(0, reference);
    let trials = trials(case, methods)?;
    let fit = network::dersimonian_laird(methods.len(), &trials).map_err(|e| e.to_string())?;
    if check.name.starts_with("netsplit") {
        return split(check, methods, &trials, &fit.estimate).map(Some);
    }
    let back = |list: Vec<Value>| -> Value {
        let mut list = list;
        let first = list.remove(0);
        list.insert(place, first);
        Value::Array(list)
    };
    let estimate = &fit.estimate;
    let scores = network::p_scores(&estimate.log_or, &estimate.covariance);
    let all = |f: &dyn Fn(usize) -> Value| back((0..methods.len()).map(f).collect());
    Ok(Some(got([
        ("log_or_vs_reference", all(&|i| json!(estimate.contrast(i, 0).0))),
        ("se", all(&|i| if i == 0 { Value::Null } else { json!(estimate.contrast(i, 0).1.sqrt()) })),
        ("tau2", json!(estimate.tau2)),
        ("I2", json!(fit.i2)),
        ("Q", json!(estimate.q)),
        ("Q_df", json!(estimate.q_df)),
        ("Q_heterogeneity", json!(fit.q_heterogeneity)),
        ("Q_inconsistency", json!(fit.q_inconsistency)),
        ("Q_inconsistency_df", json!(fit.q_inconsistency_df)),
        ("Q_inconsistency_p", json!(fit.q_inconsistency_p)),
        ("p_score_random", all(&|i| json!(scores[i]))),
    ])))
}

fn split(
    check: &Check,
    methods: &[String],
    trials: &[NetworkTrial],
    fit: &NetworkEstimate,
) -> Result<Got, String> {
    let mut columns: [Vec<Value>; 8] = Default::default();
    for name in texts(check.input("comparison")?) {
        let (a, b) = name.split_once(':').ok_or("no pair")?;
        let place = |m: &str| methods.iter().position(|known| known == m).ok_or_else(|| format!("no {m}"));
        let split = network::split_nodes(fit, trials, place(a)?, place(b)?).ok_or("never side by side")?;
        let option = |value: Option<f64>| value.map_or(Value::Null, number);
        let row = [
            json!(split.trials),
            number(split.direct),
            number(split.direct_se),
            option(split.indirect.map(|i| i.0)),
            option(split.indirect.map(|i| i.1)),
            option(split.difference.map(|d| d.0)),
            option(split.difference.map(|d| d.1)),
            option(split.difference.map(|d| d.2)),
        ];
        columns.iter_mut().zip(row).for_each(|(column, value)| column.push(value));
    }
    let names = ["k", "direct", "direct_se", "indirect", "indirect_se", "difference", "z", "p"];
    Ok(names.into_iter().map(str::to_owned).zip(columns.into_iter().map(Value::Array)).collect())
}
