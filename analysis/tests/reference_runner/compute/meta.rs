//! Normal-model meta-analysis of rates and of contrasts.

use propagule_analysis::Count;
use propagule_analysis::Pair;
use propagule_analysis::meta::{self, Correction, Effect, Fit, PairMeasure, TauMethod};
use serde_json::{Value, json};

use super::root::{R_TOLERANCE, zeroin};
use super::{Got, got, numbers};
use crate::reference_runner::case::{Case, Check};

/// The reference searches tau² up to here.
const MOST_TAU2: f64 = 100.0;

pub(crate) fn method(name: &str) -> Result<TauMethod, String> {
    Ok(match name {
        "FE" => TauMethod::Common,
        "DL" => TauMethod::DerSimonianLaird,
        "HE" => TauMethod::Hedges,
        "HS" => TauMethod::HunterSchmidt,
        "SJ" => TauMethod::SidikJonkman,
        "ML" => TauMethod::MaximumLikelihood,
        "REML" => TauMethod::Restricted,
        "EB" => TauMethod::EmpiricalBayes,
        "PM" => TauMethod::PauleMandel,
        other => return Err(format!("no estimator {other}")),
    })
}

fn logistic(x: f64) -> f64 {
    1.0 / (1.0 + (-x).exp())
}

fn both(pair: (f64, f64), f: &dyn Fn(f64) -> f64) -> Value {
    numbers([f(pair.0), f(pair.1)])
}

/// Everything that a block of one estimator reports; `back` takes estimates to rates.
pub(crate) fn block(
    effects: &[Effect],
    estimator: &str,
    back: Option<&dyn Fn(f64) -> f64>,
) -> Result<Got, String> {
    let fit = meta::fit(effects, method(estimator)?).map_err(|e| e.to_string())?;
    let mut values = got([
        ("k", json!(fit.units)),
        ("mu", json!(fit.estimate())),
        ("se", json!(fit.se[0])),
        ("ci_wald", json!(fit.wald())),
        ("tau2", json!(fit.tau2)),
        ("Q", json!(fit.q)),
        ("Q_p", json!(fit.q_p)),
        ("I2", json!(fit.i2)),
        ("H2", json!(fit.h2)),
    ]);
    if estimator != "FE" {
        values.extend(random_effects(&fit)?);
    }
    if let Some(back) = back {
        values.insert("back_mu".to_owned(), json!(back(fit.estimate())));
        values.insert("back_ci_wald".to_owned(), both(fit.wald(), back));
        values.insert("back_pi_z".to_owned(), both(fit.prediction_z(), back));
    }
    Ok(values)
}

fn random_effects(fit: &Fit) -> Result<Got, String> {
    let knha = fit.knapp_hartung(false);
    let profile = q_profile(fit)?;
    Ok(got([
        ("se_kh", json!(knha.se[0])),
        ("ci_kh", json!(knha.interval)),
        ("pi_z", json!(fit.prediction_z())),
        ("pi_kh", json!(fit.prediction_knapp_hartung())),
        ("pi_hts", json!(fit.prediction_higgins())),
        ("tau2_qprofile", json!(profile)),
        ("I2_qprofile", json!((fit.i2_at(profile.0), fit.i2_at(profile.1)))),
    ]))
}

/// Limits of tau² as the reference's program finds them: by R's root finder with its loose default tolerance. Our own
/// limits must agree with them to that tolerance.
fn q_profile(fit: &Fit) -> Result<(f64, f64), String> {
    let own = fit.tau2_q_profile(MOST_TAU2).map_err(|e| e.to_string())?;
    let found = |own: f64| {
        if own == 0.0 || own >= MOST_TAU2 {
            return Ok(own);
        }
        let target = fit.generalised_q(own).map_err(|e| e.to_string())?;
        let q = |tau2: f64| fit.generalised_q(tau2).map_or(f64::NAN, |q| q - target);
        let loose = zeroin(q, 0.0, MOST_TAU2, R_TOLERANCE);
        if (loose - own).abs() < 2.0 * R_TOLERANCE {
            Ok(loose)
        } else {
            Err(format!("{own} against {loose}"))
        }
    };
    Ok((found(own.0)?, found(own.1)?))
}

fn listed(effects: &[Effect]) -> Got {
    got([
        ("yi", numbers(effects.iter().map(|e| e.estimate))),
        ("vi", numbers(effects.iter().map(|e| e.variance))),
    ])
}

fn logits(counts: &[Count], correction: Correction) -> Vec<Effect> {
    counts.iter().map(|c| meta::logit_rate(*c, correction)).collect()
}

/// Checks named `scale.correction.estimator`.
pub(crate) fn proportion(case: &Case, check: &Check) -> Result<Option<Got>, String> {
    let counts = case.table()?.counts()?;
    let parts: Vec<&str> = check.name.split('.').collect();
    let double_arcsine = || counts.iter().map(|c| meta::freeman_tukey(*c)).collect::<Vec<_>>();
    let typical = meta::harmonic_mean_started(&counts);
    let values = match parts.as_slice() {
        ["escalc", "PLO", "only0"] => listed(&logits(&counts, Correction::WhereZero)),
        ["escalc", "PFT"] => {
            let mut values = listed(&double_arcsine());
            values.insert("harmonic_mean_n".to_owned(), json!(typical));
            values
        }
        ["PLO", "only0", estimator] => {
            block(&logits(&counts, Correction::WhereZero), estimator, Some(&logistic))?
        }
        ["PLO", "all", estimator] => {
            block(&logits(&counts, Correction::Everywhere), estimator, Some(&logistic))?
        }
        ["PLO", "dropped_zeros_WRONG", estimator] => {
            let kept: Vec<Count> =
                counts.iter().copied().filter(|c| c.succeeded > 0 && c.failed() > 0).collect();
            block(&logits(&kept, Correction::Nowhere), estimator, Some(&logistic))?
        }
        ["PFT", estimator] => {
            let back = |x: f64| meta::freeman_tukey_rate(x, typical);
            block(&double_arcsine(), estimator, Some(&back))?
        }
        _ => return super::likelihood::proportion(&counts, check),
    };
    Ok(Some(values))
}

/// The trap of the double arcsine's inverse.
pub(crate) fn pitfall(case: &Case, check: &Check) -> Result<Option<Got>, String> {
    if check.name != "pft_back" {
        return Ok(None);
    }
    let list = |key: &str| -> Result<Vec<f64>, String> {
        let values = case.data.get(key).and_then(Value::as_array).ok_or_else(|| format!("no {key}"))?;
        values.iter().map(|v| v.as_f64().ok_or_else(|| format!("{key}: no number"))).collect()
    };
    let (x, n) = (list("xi")?, list("ni")?);
    let counts: Vec<Count> =
        x.iter().zip(&n).map(|(x, n)| Count { started: *n as u32, succeeded: *x as u32 }).collect();
    let effects: Vec<Effect> = counts.iter().map(|c| meta::freeman_tukey(*c)).collect();
    // The program's own default: it stops at changes of tau² below 1e-5.
    let fit = meta::fit_until(&effects, TauMethod::Restricted, 1e-5).map_err(|e| e.to_string())?;
    let back = |typical: f64| json!(meta::freeman_tukey_rate(fit.estimate(), typical));
    let k = n.len() as f64;
    Ok(Some(got([
        ("mu", json!(fit.estimate())),
        ("harmonic", back(meta::harmonic_mean_started(&counts))),
        ("geometric", back((n.iter().map(|n| n.ln()).sum::<f64>() / k).exp())),
        ("arithmetic", back(n.iter().sum::<f64>() / k)),
        ("inverse_variance", back(fit.se[0].powi(-2))),
    ])))
}

fn measure(name: &str) -> Option<PairMeasure> {
    match name {
        "OR" => Some(PairMeasure::OddsRatio),
        "RR" => Some(PairMeasure::RateRatio),
        "RD" => Some(PairMeasure::RateDifference),
        _ => None,
    }
}

fn pair_effects(pairs: &[Pair], measure: PairMeasure) -> Vec<Effect> {
    pairs.iter().map(|pair| meta::pair_effect(*pair, measure, Correction::WhereZero)).collect()
}

/// Contrasts of two arms.
pub(crate) fn pairwise(case: &Case, check: &Check) -> Result<Option<Got>, String> {
    let pairs = super::contrast::pairs_of(&Value::Object(case.data.clone()))?;
    let mut parts = check.name.split('.');
    let (block_name, measured) = (parts.next().unwrap_or_default(), parts.next().and_then(measure));
    let values = match (block_name, measured) {
        ("mantel_haenszel", Some(measure)) => mantel_haenszel(&pairs, measure),
        ("peto", _) => pooled(&meta::peto(&pairs)),
        ("escalc", Some(measure)) => listed(&pair_effects(&pairs, measure)),
        ("inverse_variance", Some(measure)) => {
            block(&pair_effects(&pairs, measure), parts.next().unwrap_or_default(), None)?
        }
        _ => return super::likelihood::pairwise(&pairs, check),
    };
    Ok(Some(values))
}

fn pooled(summary: &meta::PairSummary) -> Got {
    got([
        ("estimate", json!(summary.estimate)),
        ("se", json!(summary.se)),
        ("ci", json!(summary.interval)),
        ("Q", json!(summary.q)),
        ("I2", json!(summary.i2)),
    ])
}

fn mantel_haenszel(pairs: &[Pair], measure: PairMeasure) -> Got {
    let mut values = pooled(&meta::mantel_haenszel(pairs, measure));
    let tests = meta::breslow_day(pairs);
    values.extend(got([
        ("cmh_corrected", json!(tests.cmh_corrected)),
        ("cmh_p", json!(tests.cmh_p)),
        ("cmh_uncorrected", json!(tests.cmh_uncorrected)),
        ("breslow_day", json!(tests.breslow_day)),
        ("tarone", json!(tests.tarone)),
        ("tarone_p", json!(tests.tarone_p)),
    ]));
    values
}

/// Moderators, influence and small-study tests.
pub(crate) fn regression(case: &Case, check: &Check) -> Result<Option<Got>, String> {
    let (tag, what) = check.name.split_once('.').ok_or("the check names no block")?;
    let contrast = case.data.contains_key("ai");
    let effects = if contrast {
        let pairs = super::contrast::pairs_of(&Value::Object(case.data.clone()))?;
        pair_effects(&pairs, PairMeasure::RateRatio)
    } else {
        logits(&case.table()?.counts()?, Correction::WhereZero)
    };
    let values = match what {
        "leave_one_out" => leave_one_out(&effects)?,
        "influence" => influence(&effects)?,
        "egger" => egger(&effects)?,
        "inverse_n" => inverse_n(&case.table()?.counts()?, &effects),
        "peters" => peters(&super::contrast::pairs_of(&Value::Object(case.data.clone()))?),
        "egger_or" => {
            let pairs = super::contrast::pairs_of(&Value::Object(case.data.clone()))?;
            egger(&pair_effects(&pairs, PairMeasure::OddsRatio))?
        }
        estimator if tag == "PLO" => block(&effects, estimator, Some(&logistic))?,
        estimator => moderators(case, check, tag, estimator, &effects)?,
    };
    Ok(Some(values))
}

/// Moderator columns by the data entry that the block is named after: numbers as they are, labels as dummies.
fn design(case: &Case, tag: &str, names: &[Value]) -> Result<Vec<Vec<f64>>, String> {
    let key = tag.strip_suffix("_subgroups").unwrap_or(tag);
    let values = case.data.get(key).and_then(Value::as_array).ok_or_else(|| format!("no data {key}"))?;
    if !tag.ends_with("_subgroups") {
        return values.iter().map(|v| v.as_f64().map(|x| vec![x]).ok_or("no number".to_owned())).collect();
    }
    let levels: Vec<&str> =
        names[1..].iter().filter_map(|n| n.as_str()?.split_once(')').map(|p| p.1)).collect();
    let dummies =
        |v: &Value| levels.iter().map(|level| f64::from(u8::from(v.as_str() == Some(level)))).collect();
    Ok(values.iter().map(dummies).collect())
}

fn moderators(
    case: &Case,
    check: &Check,
    tag: &str,
    estimator: &str,
    effects: &[Effect],
) -> Result<Got, String> {
    let names = check.input("coef_names")?.as_array().ok_or("no names")?.clone();
    let rows = design(case, tag, &names)?;
    let text = |e: meta::MetaError| e.to_string();
    let fit = meta::regress(effects, &rows, method(estimator)?).map_err(text)?;
    let plain = meta::fit(effects, method(estimator)?).map_err(text)?;
    let knha = fit.knapp_hartung(false);
    let z: Vec<f64> = fit.beta.iter().zip(&fit.se).map(|(b, se)| b / se).collect();
    Ok(got([
        ("p", numbers(z.iter().map(|z| meta::normal_p(*z)))),
        ("z", numbers(z)),
        ("beta", numbers(fit.beta.clone())),
        ("se", numbers(fit.se.clone())),
        ("tau2", json!(fit.tau2)),
        ("QM", json!(fit.moderator_q)),
        ("QM_df", json!(fit.beta.len() - 1)),
        ("QM_p", json!(fit.moderator_p)),
        ("QE", json!(fit.q)),
        ("QE_p", json!(fit.q_p)),
        ("I2", json!(fit.i2)),
        ("R2", json!(fit.r2(&plain))),
        ("tau2_no_moderator", json!(plain.tau2)),
        ("knha_se", numbers(knha.se)),
        ("knha_F", json!(knha.f)),
        ("knha_p", json!(knha.p)),
    ]))
}

fn leave_one_out(effects: &[Effect]) -> Result<Got, String> {
    let fits = meta::leave_one_out(effects, TauMethod::Restricted).map_err(|e| e.to_string())?;
    let each = |f: &dyn Fn(&Fit) -> f64| numbers(fits.iter().map(f));
    Ok(got([
        ("mu", each(&Fit::estimate)),
        ("se", each(&|fit| fit.se[0])),
        ("ci_lo", each(&|fit| fit.wald().0)),
        ("ci_hi", each(&|fit| fit.wald().1)),
        ("tau2", each(&|fit| fit.tau2)),
        ("I2", each(&|fit| fit.i2)),
        ("Q", each(&|fit| fit.q)),
    ]))
}

fn influence(effects: &[Effect]) -> Result<Got, String> {
    let cases = meta::influence(effects, TauMethod::Restricted).map_err(|e| e.to_string())?;
    let each = |f: &dyn Fn(&meta::Influence) -> f64| numbers(cases.iter().map(f));
    Ok(got([
        ("rstudent", each(&|i| i.studentised_residual)),
        ("dffits", each(&|i| i.dffits)),
        ("cooks", each(&|i| i.cook)),
        ("cov_ratio", each(&|i| i.covariance_ratio)),
        ("hat", each(&|i| i.hat)),
        ("weight_pct", each(&|i| i.weight_percent)),
        ("dfbeta", each(&|i| i.dfbeta)),
    ]))
}

/// Egger's test as a mixed-effects regression on the standard error, and as a weighted line.
fn egger(effects: &[Effect]) -> Result<Got, String> {
    let se: Vec<f64> = effects.iter().map(|e| e.variance.sqrt()).collect();
    let rows: Vec<Vec<f64>> = se.iter().map(|s| vec![*s]).collect();
    let fit = meta::regress(effects, &rows, TauMethod::Restricted).map_err(|e| e.to_string())?;
    let z = fit.beta[1] / fit.se[1];
    let estimates: Vec<f64> = effects.iter().map(|e| e.estimate).collect();
    let weights: Vec<f64> = effects.iter().map(|e| 1.0 / e.variance).collect();
    let line = meta::weighted_line(&se, &estimates, &weights);
    let rank = meta::rank_test(effects);
    Ok(got([
        ("mixed_z", json!(z)),
        ("mixed_p", json!(meta::normal_p(z))),
        ("mixed_limit", json!(fit.beta[0])),
        ("lm_t", json!(line.t)),
        ("lm_df", json!(line.df)),
        ("lm_p", json!(line.p)),
        ("lm_limit", json!(line.intercept)),
        ("kendall_tau", json!(rank.tau)),
        ("kendall_p", json!(rank.p)),
    ]))
}

fn line(x: &[f64], effects: &[Effect], weights: &[f64]) -> Got {
    let y: Vec<f64> = effects.iter().map(|e| e.estimate).collect();
    let line = meta::weighted_line(x, &y, weights);
    got([
        ("intercept", json!(line.intercept)),
        ("slope", json!(line.slope)),
        ("se", json!(line.slope_se)),
        ("t", json!(line.t)),
        ("p", json!(line.p)),
        ("k", json!(x.len())),
    ])
}

fn inverse_n(counts: &[Count], effects: &[Effect]) -> Got {
    let x: Vec<f64> = counts.iter().map(|c| 1.0 / f64::from(c.started)).collect();
    let weights: Vec<f64> = effects.iter().map(|e| 1.0 / e.variance).collect();
    line(&x, effects, &weights)
}

/// Peters et al. 2006: weights from all events and non-events of a trial.
fn peters(pairs: &[Pair]) -> Got {
    let (mut x, mut weights, mut effects) = (Vec::new(), Vec::new(), Vec::new());
    for pair in pairs {
        let events = f64::from(pair.first.succeeded + pair.second.succeeded);
        let others = f64::from(pair.first.failed() + pair.second.failed());
        if events > 0.0 && others > 0.0 {
            x.push(1.0 / (events + others));
            weights.push(1.0 / (1.0 / events + 1.0 / others));
            effects.push(meta::pair_effect(*pair, PairMeasure::OddsRatio, Correction::WhereZero));
        }
    }
    line(&x, &effects, &weights)
}
