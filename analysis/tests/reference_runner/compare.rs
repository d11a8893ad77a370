//! The pass rule: |got - want| <= abs + rel × |want|, element by element.

use std::collections::BTreeMap;

use serde_json::Value;

use super::case::Check;

/// What a check came to.
pub(crate) enum Verdict {
    Passed,
    Failed(Vec<String>),
    Unsupported(String),
}

/// Stands for infinity in lists of the reference.
const INFINITE: f64 = 1e9;

/// Compares all computed values; a check passes only when everything testable in it was computed and agrees.
pub(crate) fn compare(check: &Check, got: &BTreeMap<String, Value>) -> Verdict {
    let (mut tested, mut missing, mut reasons) = (0, Vec::new(), Vec::new());
    // The reference refuses here; ours must answer, or say why it does not.
    if check.kind == "error" {
        return if got.is_empty() { Verdict::Unsupported("no answer".to_owned()) } else { Verdict::Passed };
    }
    for (key, want) in &check.expected {
        match got.get(key) {
            _ if check.is_input(key) => {}
            Some(got) => {
                tested += 1;
                differences(check, key, got, want, &mut reasons);
            }
            None if is_information(key) || is_remark(want) => {}
            None => missing.push(key.as_str()),
        }
    }
    if !reasons.is_empty() {
        Verdict::Failed(reasons)
    } else if !missing.is_empty() {
        Verdict::Unsupported(format!("not computed: {}", missing.join(", ")))
    } else if tested == 0 {
        Verdict::Unsupported("nothing testable".to_owned())
    } else {
        Verdict::Passed
    }
}

/// A sentence among the expected values is a note.
fn is_remark(want: &Value) -> bool {
    want.as_str().is_some_and(|text| text.contains(' '))
}

/// Keys that repeat inputs, or tell how good a simulation was.
fn is_information(key: &str) -> bool {
    matches!(key, "n" | "y" | "q" | "methods" | "time") || key.starts_with("own_") || key.starts_with("ess_")
}

fn differences(check: &Check, place: &str, got: &Value, want: &Value, reasons: &mut Vec<String>) {
    match (got, want) {
        (Value::Array(a), Value::Array(b)) if a.len() == b.len() => {
            for (index, (got, want)) in a.iter().zip(b).enumerate() {
                differences(check, &format!("{place}[{index}]"), got, want, reasons);
            }
        }
        // A list of one is written as a plain value.
        (Value::Array(a), _) if a.len() == 1 && !want.is_array() => {
            differences(check, place, &a[0], want, reasons);
        }
        (_, Value::Array(b)) if b.len() == 1 && !got.is_array() => {
            differences(check, place, got, &b[0], reasons);
        }
        _ => {
            if !agrees(check, got, want) {
                reasons.push(format!("{place}: got {got}, want {want}"));
            }
        }
    }
}

fn agrees(check: &Check, got: &Value, want: &Value) -> bool {
    match (number(got), number(want)) {
        (Some(got), Some(want)) if got.is_infinite() || want.is_infinite() => {
            clamp(got).total_cmp(&clamp(want)).is_eq()
        }
        (Some(got), Some(want)) => (got - want).abs() <= check.absolute + check.relative * want.abs(),
        _ => got == want,
    }
}

fn clamp(x: f64) -> f64 {
    x.clamp(-INFINITE, INFINITE)
}

/// Numbers, also "Inf", "-Inf" and numbers written as text.
fn number(value: &Value) -> Option<f64> {
    match value {
        Value::Number(n) => n.as_f64(),
        Value::String(s) if s == "Inf" => Some(f64::INFINITY),
        Value::String(s) if s == "-Inf" => Some(f64::NEG_INFINITY),
        _ => None,
    }
}
