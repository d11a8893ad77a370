//! Intervals of one arm.

use propagule_analysis::{Count, interval};
use serde_json::json;

use super::{Got, got};
use crate::reference_runner::case::Check;

pub(crate) fn compute(check: &Check) -> Result<Got, String> {
    let count = Count::new(check.whole("n")?, check.whole("r")?).map_err(|e| e.to_string())?;
    let level = check.number("level")?;
    Ok(got([
        ("wilson", json!(interval::wilson(count, level))),
        ("clopper_pearson", json!(interval::clopper_pearson(count, level))),
        ("jeffreys_plain", json!(interval::jeffreys_plain(count, level))),
        ("jeffreys", json!(interval::jeffreys(count, level))),
        ("midp", json!(interval::mid_p(count, level))),
        ("uniform_bayes", json!(interval::uniform_bayes(count, level))),
        ("agresti_coull_unclipped", json!(interval::agresti_coull(count, level))),
        ("one_sided_upper", json!(interval::one_sided_upper(count, level))),
        ("one_sided_lower", json!(interval::one_sided_lower(count, level))),
    ]))
}
