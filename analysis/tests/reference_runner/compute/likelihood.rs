//! Maximum likelihood in models with binomial or hypergeometric counts.

use propagule_analysis::Count;
use propagule_analysis::mixed::{self, Group, MixedError, MixedFit, Observation};
use propagule_analysis::{Pair, contrast};
use serde_json::json;

use super::{Got, got};
use crate::reference_runner::case::Check;

/// Half the width of a 95 % Wald interval in standard errors.
pub(crate) const Z: f64 = 1.959_963_984_540_054;

pub(crate) fn observation(count: Count, fixed: Vec<f64>, random: Vec<f64>) -> Observation {
    Observation {
        succeeded: f64::from(count.succeeded),
        started: f64::from(count.started),
        offset: 0.0,
        fixed,
        random,
    }
}

/// One random effect a count.
fn single_groups(counts: &[Count]) -> Vec<Group> {
    let group =
        |c: &Count| Group { observations: vec![observation(*c, vec![1.0], vec![1.0])], spreads: vec![0] };
    counts.iter().map(group).collect()
}

/// What a refused fit comes to: the reference's program refuses too, so a clear reason is the sensible answer.
fn refused(check: &Check, error: MixedError) -> Result<Option<Got>, String> {
    if check.kind != "error" {
        return Err(error.to_string());
    }
    check.input("error")?;
    Ok(Some(got([("refused", json!(error.to_string()))])))
}

pub(crate) fn proportion(counts: &[Count], check: &Check) -> Result<Option<Got>, String> {
    if check.name == "binomial_normal.exact_ML" {
        return Ok(Some(exact(counts)?));
    }
    let nodes = match check.name.as_str() {
        "rma.glmm" => 7,
        name => match name.strip_prefix("glmer.nAGQ") {
            Some(nodes) => nodes.parse().map_err(|_| "no number of nodes")?,
            None => return Ok(None),
        },
    };
    match program_fit(&single_groups(counts), 1, nodes) {
        Ok(fit) => Ok(Some(proportion_values(counts, &fit))),
        Err(error) => refused(check, error),
    }
}

/// The program's own fit: with one node its way of stopping shows.
fn program_fit(groups: &[Group], spreads: usize, nodes: usize) -> Result<MixedFit, MixedError> {
    if nodes == 1 { mixed::fit_reweighted(groups, spreads) } else { mixed::fit_mixed(groups, spreads, nodes) }
}

fn proportion_values(counts: &[Count], fit: &MixedFit) -> Got {
    let (mu, se) = (fit.beta[0], fit.se[0]);
    let (likelihood_ratio, wald) = saturated(counts);
    got([
        ("mu", json!(mu)),
        ("se", json!(se)),
        ("ci_wald", json!([mu - Z * se, mu + Z * se])),
        ("tau", json!(fit.spreads[0])),
        ("tau2", json!(fit.spreads[0].powi(2))),
        ("back_mu", json!(1.0 / (1.0 + (-mu).exp()))),
        ("LRT_Q", json!(likelihood_ratio)),
        ("Wald_Q", json!(wald)),
    ])
}

/// Heterogeneity against one common rate: by likelihood ratio, and by Wald's test on the arms' own logits, in which arms
/// without a finite logit have no weight.
fn saturated(counts: &[Count]) -> (f64, f64) {
    let (n, r) =
        counts.iter().fold((0.0, 0.0), |(n, r), c| (n + f64::from(c.started), r + f64::from(c.succeeded)));
    let log = |k: f64, p: f64| if k == 0.0 { 0.0 } else { k * p.ln() };
    let (mut ratio, mut sums) = (0.0, [0.0; 3]);
    for count in counts {
        let (s, f, all) = (f64::from(count.succeeded), f64::from(count.failed()), f64::from(count.started));
        ratio += 2.0 * (log(s, s / all) + log(f, f / all) - log(s, r / n) - log(f, 1.0 - r / n));
        if s > 0.0 && f > 0.0 {
            let (weight, y) = (s * f / all, (s / f).ln());
            sums[0] += weight;
            sums[1] += weight * y;
            sums[2] += weight * y * y;
        }
    }
    (ratio, sums[2] - sums[1] * sums[1] / sums[0])
}

fn exact(counts: &[Count]) -> Result<Got, String> {
    match mixed::maximum_likelihood(counts) {
        Ok(fit) => Ok(got([
            ("mu", json!(fit.mu)),
            ("tau", json!(fit.tau)),
            ("loglik", json!(fit.log_likelihood)),
            ("loglik_tau0", json!(fit.log_likelihood_common)),
        ])),
        // No maximum: the reference writes down the limit.
        Err(MixedError::NoMaximum) => {
            let end = if counts.iter().all(|c| c.succeeded == 0) { "-Inf" } else { "Inf" };
            Ok(got([("mu", json!(end)), ("tau", json!(0.0)), ("loglik", json!(0.0))]))
        }
        Err(error) => Err(error.to_string()),
    }
}

/// Mixed models of two arms a trial, and the exact conditional likelihood.
pub(crate) fn pairwise(pairs: &[Pair], check: &Check) -> Result<Option<Got>, String> {
    if check.name == "conditional_exact_random_ML" {
        let fit = contrast::conditional_maximum(pairs).map_err(|e| e.to_string())?;
        return Ok(Some(got([
            ("d", json!(fit.log_or)),
            ("tau", json!(fit.tau)),
            ("loglik", json!(fit.log_likelihood)),
            ("k_informative", json!(fit.k_informative)),
            ("d_common", json!(fit.log_or_common)),
            ("loglik_common", json!(fit.log_likelihood_common)),
        ])));
    }
    let used: Vec<Pair> = pairs.iter().copied().filter(says_something).collect();
    let (groups, spreads, nodes, place) = match check.name.as_str() {
        "glmm.UM.FS" => (fixed_trials(&used), 1, 7, (0, 0)),
        "glmm.UM.RS" => (random_trials(&used), 2, 1, (0, 1)),
        "glmm.CM.AL" => (approximate_conditional(&used), 1, 7, (0, 0)),
        _ => return Ok(None),
    };
    let fit = program_fit(&groups, spreads, nodes).map_err(|e| e.to_string())?;
    let (estimate, se) = (fit.beta[place.0], fit.se[place.0]);
    Ok(Some(got([
        ("estimate", json!(estimate)),
        ("se", json!(se)),
        ("ci", json!([estimate - Z * se, estimate + Z * se])),
        ("tau2", json!(fit.spreads[place.1].powi(2))),
        ("k_used", json!(used.len())),
    ])))
}

fn says_something(pair: &Pair) -> bool {
    let succeeded = pair.first.succeeded + pair.second.succeeded;
    succeeded > 0 && succeeded < pair.first.started + pair.second.started
}

/// Column of the first arm, then one column a trial; the contrast varies by plus and minus a half.
fn fixed_trials(pairs: &[Pair]) -> Vec<Group> {
    let row = |trial: usize, first: f64| {
        let mut row = vec![0.0; pairs.len() + 1];
        row[0] = first;
        row[trial + 1] = 1.0;
        row
    };
    let group = |(k, pair): (usize, &Pair)| Group {
        observations: vec![
            observation(pair.first, row(k, 1.0), vec![0.5]),
            observation(pair.second, row(k, 0.0), vec![-0.5]),
        ],
        spreads: vec![0],
    };
    pairs.iter().enumerate().map(group).collect()
}

/// Random trial levels and a random contrast, independent of each other.
fn random_trials(pairs: &[Pair]) -> Vec<Group> {
    let group = |pair: &Pair| Group {
        observations: vec![
            observation(pair.first, vec![1.0, 1.0], vec![1.0, 0.5]),
            observation(pair.second, vec![0.0, 1.0], vec![1.0, -0.5]),
        ],
        spreads: vec![0, 1],
    };
    pairs.iter().map(group).collect()
}

/// Successes of the first arm among all, as if drawn binomially.
fn approximate_conditional(pairs: &[Pair]) -> Vec<Group> {
    let group = |pair: &Pair| Group {
        observations: vec![Observation {
            succeeded: f64::from(pair.first.succeeded),
            started: f64::from(pair.first.succeeded + pair.second.succeeded),
            offset: (f64::from(pair.first.started) / f64::from(pair.second.started)).ln(),
            fixed: vec![1.0],
            random: vec![1.0],
        }],
        spreads: vec![0],
    };
    pairs.iter().map(group).collect()
}
