//! Checks over time.

use propagule_analysis::survival::{self, Interval, Observed, Outcome, TurnbullMass};
use serde_json::json;

use super::{Got, got, number, numbers};
use crate::reference_runner::case::{Case, Check};
use crate::reference_runner::table::{Row, Table};

/// A time that may be written as Inf or NA when the event was never seen.
fn time(row: &Row, column: &str) -> Result<f64, String> {
    match row.text(column)? {
        "Inf" | "NA" | "" => Ok(f64::INFINITY),
        _ => row.number(column),
    }
}

fn intervals(table: &Table) -> Result<Vec<Interval>, String> {
    let mut out = Vec::new();
    for row in &table.rows {
        let counted = row.get("count").is_some();
        let (left, right) = if counted { ("start", "end") } else { ("last_alive", "first_dead") };
        let interval = Interval { left: time(row, left)?, right: time(row, right)? };
        let times = if counted { row.number("count")? as usize } else { 1 };
        out.extend(std::iter::repeat_n(interval, times));
    }
    Ok(out)
}

/// Deaths at the check that found them.
fn observed(intervals: &[Interval]) -> Vec<Observed> {
    let at = |i: &Interval| {
        let event = i.right.is_finite();
        Observed { time: if event { i.right } else { i.left }, event }
    };
    intervals.iter().map(at).collect()
}

pub(crate) fn compute(case: &Case, check: &Check) -> Result<Option<Got>, String> {
    let (what, data) = check.name.split_once('.').unwrap_or((&check.name, "table"));
    let table = || case.data_table(if data == "syn_checks" || data == "odd_even_ids" { "syn" } else { data });
    let values = match what {
        "turnbull" => turnbull(&intervals(&table()?)?),
        "survfit_interval" => midpoints(&intervals(&table()?)?),
        "kaplan_meier_at_check" => kaplan_meier(&observed(&intervals(&table()?)?)),
        "logrank" => log_rank(&observed(&intervals(&table()?)?))?,
        "aalen_johansen" => incidence(&table()?)?,
        "naive_one_minus_km_WRONG" => naive(&table()?)?,
        _ => return Ok(None),
    };
    Ok(Some(values))
}

fn turnbull(events: &[Interval]) -> Got {
    let (cells, log_likelihood) = survival::turnbull(events);
    let each = |f: &dyn Fn(&TurnbullMass) -> f64| numbers(cells.iter().map(f));
    got([
        ("left", each(&|c| c.left)),
        ("right", each(&|c| c.right)),
        ("mass", each(&|c| c.mass)),
        ("surv_after", each(&|c| c.survival_after)),
        ("loglik", json!(log_likelihood)),
    ])
}

/// The curve at the middles of the cells, and at the times from which pieces were watched in vain.
fn midpoints(events: &[Interval]) -> Got {
    let (cells, _) = survival::turnbull(events);
    let middle = |c: &TurnbullMass| 0.5 * (c.left + c.right);
    let mut times: Vec<f64> = cells.iter().map(middle).filter(|t| t.is_finite()).collect();
    times.extend(events.iter().filter(|e| e.right.is_infinite()).map(|e| e.left));
    times.sort_by(f64::total_cmp);
    times.dedup();
    let curve =
        |t: &f64| cells.iter().filter(|c| middle(c) <= *t).map(|c| c.survival_after).fold(1.0, f64::min);
    got([("surv", numbers(times.iter().map(curve))), ("time", numbers(times.clone()))])
}

fn kaplan_meier(observed: &[Observed]) -> Got {
    let steps = survival::kaplan_meier(observed);
    let each = |f: &dyn Fn(&survival::KaplanMeierStep) -> f64| numbers(steps.iter().map(f));
    got([
        ("time", each(&|s| s.time)),
        ("n_risk", each(&|s| s.at_risk as f64)),
        ("n_event", each(&|s| s.events as f64)),
        ("surv", each(&|s| s.survival)),
        ("std_err", each(&|s| s.se)),
        ("lower_loglog", each(&|s| s.log_log.0)),
        ("upper_loglog", each(&|s| s.log_log.1)),
        ("lower_log", each(&|s| s.log.0)),
        ("upper_log", each(&|s| s.log.1)),
    ])
}

/// Groups by odd and even place.
fn log_rank(observed: &[Observed]) -> Result<Got, String> {
    let every_other = |skip: usize| observed.iter().skip(skip).step_by(2).copied().collect::<Vec<_>>();
    let test = survival::log_rank(&every_other(0), &every_other(1)).ok_or("no test")?;
    Ok(got([
        ("chisq", json!(test.chi2)),
        ("p", json!(test.p)),
        ("obs", numbers(test.observed)),
        ("exp", numbers(test.expected)),
    ]))
}

fn pieces(table: &Table) -> Result<Vec<(f64, Outcome)>, String> {
    let outcome = |row: &Row| {
        Ok::<_, String>(match row.text("state")? {
            "rooted" => Outcome::Rooted,
            "dead" => Outcome::Dead,
            _ => Outcome::Watched,
        })
    };
    table.rows.iter().map(|row| Ok((row.number("check")?, outcome(row)?))).collect()
}

fn incidence(table: &Table) -> Result<Got, String> {
    let steps = survival::cumulative_incidence(&pieces(table)?);
    Ok(got([
        ("time", numbers(steps.iter().map(|s| s.time))),
        ("rooted", numbers(steps.iter().map(|s| s.rooted))),
        ("dead", numbers(steps.iter().map(|s| s.dead))),
    ]))
}

/// Death as censoring, as the name says wrongly.
fn naive(table: &Table) -> Result<Got, String> {
    let observed: Vec<Observed> = pieces(table)?
        .into_iter()
        .map(|(time, outcome)| Observed { time, event: outcome == Outcome::Rooted })
        .collect();
    let steps = survival::kaplan_meier(&observed);
    Ok(got([
        ("time", numbers(steps.iter().map(|s| s.time))),
        ("rooted", steps.iter().map(|s| number(1.0 - s.survival)).collect()),
    ]))
}
