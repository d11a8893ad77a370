//! Two arms of one trial.

use propagule_analysis::{Count, exact};
use serde_json::json;

use super::{Got, got};
use crate::reference_runner::case::Check;

pub(crate) fn compute(check: &Check) -> Result<Option<Got>, String> {
    if !check.expected.contains_key("r1") {
        return Ok(None);
    }
    let arm = |n: &str, r: &str| Count::new(check.whole(n)?, check.whole(r)?).map_err(|e| e.to_string());
    let (a, b) = (arm("n1", "r1")?, arm("n2", "r2")?);
    Ok(Some(got([
        ("fisher_two_sided", json!(exact::fisher_two_sided(a, b))),
        ("fisher_first_greater", json!(exact::fisher_first_greater(a, b))),
    ])))
}
