//! What each kind of check asks of the crate.

mod climate;
mod contrast;
mod interval;
mod lattice_rule;
mod likelihood;
mod meta;
mod nested;
mod network;
mod overdispersion;
mod planning;
mod rate;
mod root;
mod score_interval;
mod survival;
mod two_arm;

use std::collections::BTreeMap;

use serde_json::{Value, json};

use super::case::{Case, Check};

/// Computed values by key.
pub(crate) type Got = BTreeMap<String, Value>;

/// The values that `check` asks for; `None` when this kind is not known.
pub(crate) fn compute(case: &Case, check: &Check) -> Result<Option<Got>, String> {
    match case.kind.as_str() {
        "interval" => interval::compute(check).map(Some),
        "two_arm" => two_arm::compute(check),
        "power" => planning::power(check),
        "planning" => planning::compute(check),
        "bayes_proportion" => rate::two_level(case, check),
        "outlier" => rate::leave_one_out(case, check).map(Some),
        "three_level" if check.name.starts_with("bayes_") => rate::three_level(case, check),
        "three_level" => nested::compute(case, check),
        "bayes_pairwise" | "network" if check.name.starts_with("bayes_conditional") => {
            contrast::compute(case, check).map(Some)
        }
        "network" | "bayes_network" => network::compute(case, check),
        "overdispersion" => overdispersion::compute(case, check),
        "survival" => survival::compute(case, check),
        "meta_proportion" => meta::proportion(case, check),
        "pitfall" => meta::pitfall(case, check),
        "meta_regression" => meta::regression(case, check),
        "pairwise" => meta::pairwise(case, check),
        "climate" => climate::compute(case, check).map(Some),
        _ => Ok(None),
    }
}

/// A number that JSON can hold; infinities as the reference writes them.
pub(crate) fn number(x: f64) -> Value {
    if x.is_infinite() { json!(if x > 0.0 { "Inf" } else { "-Inf" }) } else { json!(x) }
}

/// A list of numbers.
pub(crate) fn numbers(values: impl IntoIterator<Item = f64>) -> Value {
    Value::Array(values.into_iter().map(number).collect())
}

/// Collects key and value pairs.
pub(crate) fn got<const N: usize>(pairs: [(&str, Value); N]) -> Got {
    pairs.into_iter().map(|(key, value)| (key.to_owned(), value)).collect()
}
