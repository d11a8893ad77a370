//! Numbers of a case against those of the program.

use serde_json::Value;

pub(crate) fn text<'a>(value: &'a Value, key: &str) -> &'a str {
    value[key].as_str().unwrap_or_else(|| panic!("{key} of {value}"))
}

pub(crate) fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value[key].as_array().unwrap_or_else(|| panic!("{key} of {value}"))
}

pub(crate) fn whole(value: &Value) -> u64 {
    value.as_u64().unwrap_or_else(|| panic!("a whole number, not {value}"))
}

/// Half a unit of the sixth digit, to which the cases are printed; a little more, since halves are rounded either way.
fn as_printed(number: f64) -> f64 {
    if number == 0.0 { 0.0 } else { 5.1e-6 * 10_f64.powf(number.abs().log10().floor()) }
}

/// The number is that of the case, to `tolerance` or as it is printed; where the case says null, there is none.
pub(crate) fn close(what: &str, found: &Value, wanted: &Value, tolerance: f64) {
    match (found.as_f64(), wanted.as_f64()) {
        (Some(found), Some(wanted)) => {
            let gap = (found - wanted).abs();
            assert!(gap <= tolerance.max(as_printed(wanted)), "{what}: {found}, not {wanted}");
        }
        _ => assert_eq!(found, wanted, "{what}"),
    }
}

/// Each number of a list.
pub(crate) fn close_all(what: &str, found: &Value, wanted: &Value, tolerance: f64) {
    let (Some(all), Some(wanted)) = (found.as_array(), wanted.as_array()) else {
        assert_eq!(found, wanted, "{what}");
        return;
    };
    assert_eq!(all.len(), wanted.len(), "{what}: {found}");
    for (found, wanted) in all.iter().zip(wanted) {
        close(what, found, wanted, tolerance);
    }
}

#[test]
fn what_is_not_as_printed_or_not_there_is_not_close() {
    let same =
        |found: Value, wanted: Value| std::panic::catch_unwind(|| close("x", &found, &wanted, 1e-6)).is_ok();
    assert!(same(3.444_462.into(), 3.444_46.into()) && !same(3.444_47.into(), 3.444_46.into()));
    assert!(same(Value::Null, Value::Null) && !same(Value::Null, 1.into()) && !same(1.into(), Value::Null));
}
