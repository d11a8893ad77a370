//! What goes to paper: printable pages and calendar files. Plain values in, text out; no I/O.

pub mod calendar;
pub mod sheet;

/// Says that a test could not run here; under `PROPAGULE_REQUIRE_ALL=1` that is a failure.
#[cfg(test)]
#[expect(clippy::print_stdout, reason = "a skipped test is reported by name")]
fn skip(name: &str, why: &str) {
    println!("skipped: {name} ({why})");
    let is_required = std::env::var_os("PROPAGULE_REQUIRE_ALL").is_some_and(|value| value == "1");
    assert!(!is_required, "{name} was skipped under PROPAGULE_REQUIRE_ALL=1: {why}");
}
