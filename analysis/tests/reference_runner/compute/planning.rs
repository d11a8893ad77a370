//! How many to start, and power.

use propagule_analysis::{exact, planning};
use serde_json::{Value, json};

use super::{Got, got};
use crate::reference_runner::case::Check;

/// Smallest numbers under a law that the name of the check begins with.
pub(crate) fn compute(check: &Check) -> Result<Option<Got>, String> {
    let law: Box<dyn Fn(u32, u32) -> f64> = match check.name.split('_').next() {
        Some("betabinomial") => {
            let (a, b) = (check.number("a")?, check.number("b")?);
            Box::new(move |y, n| planning::beta_binomial_at_least(y, n, a, b))
        }
        Some("logitnormal") => {
            let (mu, sd) = (check.number("mu")?, check.number("sd")?);
            Box::new(move |y, n| planning::logit_normal_at_least(y, n, mu, sd))
        }
        Some("binomial") => {
            let p = check.number("p")?;
            Box::new(move |y, n| planning::binomial_at_least(y, n, p))
        }
        _ => return Ok(None),
    };
    let (wants, sures) = (check.numbers("y")?, check.numbers("q")?);
    let smallest = |(want, sure): (&f64, &f64)| -> Value {
        let want = *want as u32;
        json!(planning::smallest_number(want, *sure, |n| law(want, n)))
    };
    Ok(Some(got([("n", wants.iter().zip(&sures).map(smallest).collect())])))
}

/// Power of Fisher's test, and sizes of arms.
pub(crate) fn power(check: &Check) -> Result<Option<Got>, String> {
    if check.name.starts_with("n_to_see_one") {
        let n = planning::pieces_to_see_one(check.number("p")?, check.number("q")?);
        return Ok(Some(got([("n", json!(n))])));
    }
    let rates = (check.number("p1")?, check.number("p2")?);
    if check.name.starts_with("n_per_arm") {
        let size =
            planning::arm_size(rates.0, rates.1, 0.05, check.number("target")?, 60).ok_or("no size")?;
        return Ok(Some(got([
            ("first_n", json!(size.first)),
            ("stable_n", json!(size.stable)),
            ("power_at_first", json!(size.power_at_first)),
            ("power_at_stable", json!(size.power_at_stable)),
        ])));
    }
    let (n1, n2, alpha) = (check.whole("n1")?, check.whole("n2")?, check.number("alpha")?);
    Ok(Some(got([("power", json!(exact::fisher_power(n1, n2, rates.0, rates.1, alpha)))])))
}
