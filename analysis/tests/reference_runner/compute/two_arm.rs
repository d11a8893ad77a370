//! Arms of one trial.

use propagule_analysis::exact::{self, BarnardVariance};
use propagule_analysis::meta::{self, Correction, PairMeasure};
use propagule_analysis::{Count, Pair};
use serde_json::{Value, json};

use super::score_interval::program_interval;
use super::{Got, got, number, numbers};
use crate::reference_runner::case::{Check, as_whole};

pub(crate) fn compute(check: &Check) -> Result<Option<Got>, String> {
    match check.name.split('.').next() {
        Some("holm") => several(check).map(Some),
        Some("k_arm_chi2") => {
            let test = exact::k_arm_chi_squared(&arms(check)?).ok_or("no test exists")?;
            Ok(Some(got([("chi2", json!(test.chi2)), ("df", json!(test.df)), ("p", json!(test.p))])))
        }
        _ if check.expected.contains_key("r1") => pair(check).map(Some),
        _ => Ok(None),
    }
}

fn pair(check: &Check) -> Result<Got, String> {
    let arm = |n: &str, r: &str| Count::new(check.whole(n)?, check.whole(r)?).map_err(|e| e.to_string());
    let (a, b) = (arm("n1", "r1")?, arm("n2", "r2")?);
    let rate = |c: Count| f64::from(c.succeeded) / f64::from(c.started);
    let odds = exact::conditional_odds_ratio(a, b, 0.95);
    let score = program_interval(a, b);
    // The program compares statistics without slack for rounding.
    let barnard = |variance| exact::barnard(a, b, variance, 0.0);
    let woolf =
        meta::pair_effect(Pair { first: a, second: b }, PairMeasure::OddsRatio, Correction::WhereZero);
    let mut values = got([
        ("fisher_two_sided", json!(exact::fisher_two_sided(a, b))),
        ("fisher_first_greater", json!(exact::fisher_first_greater(a, b))),
        ("barnard_pooled", json!(barnard(BarnardVariance::Pooled))),
        ("barnard_unpooled", json!(barnard(BarnardVariance::Unpooled))),
        ("boschloo", json!(exact::boschloo(a, b))),
        ("odds_ratio_conditional_mle_ci", odds.map_or(Value::Null, |o| numbers([o.estimate, o.low, o.high]))),
        ("risk_difference", number(rate(a) - rate(b))),
        ("newcombe", json!(exact::newcombe(a, b, 0.95))),
        ("log_or_woolf", json!(woolf.estimate)),
        ("se_woolf", json!(woolf.variance.sqrt())),
    ]);
    values.insert("miettinen_nurminen".to_owned(), score.map_or(json!([null, null]), |s| json!(s)));
    Ok(values)
}

/// A count written as [succeeded, started].
fn count(value: &Value) -> Result<Count, String> {
    let part = |k: usize| value.get(k).and_then(as_whole).ok_or("no count");
    Count::new(part(1)?, part(0)?).map_err(|e| e.to_string())
}

fn arms(check: &Check) -> Result<Vec<Count>, String> {
    check.input("arms")?.as_array().ok_or("no arms")?.iter().map(count).collect()
}

fn several(check: &Check) -> Result<Got, String> {
    let control = count(check.input("control")?)?;
    let p: Vec<f64> = arms(check)?.iter().map(|arm| exact::fisher_two_sided(*arm, control)).collect();
    Ok(got([
        ("holm", json!(exact::holm(&p))),
        ("hommel", json!(exact::hommel(&p))),
        ("fdr_bh", json!(exact::benjamini_hochberg(&p))),
        ("bonferroni", json!(exact::bonferroni(&p))),
        ("p", json!(p)),
    ]))
}
