//! Estimates of one rate, ours and those that readers know.

use std::str::FromStr;

use propagule_analysis::rate;
use propagule_evidence::{EvidenceRow, GROWER_CAP, Lost, Trust, Whose, clusters, growers};
use propagule_protocol::AuthorKey;

use crate::crowd::{Crowd, by_key};

/// Columns of the table.
pub(super) const ESTIMATES: [&str; 8] =
    ["raw sum", "cap 60", "trimmed", "median", "everybody", "circle 7", "circle 7-14", "circle 14"];

/// All estimates of one crowd.
pub(super) fn estimates(crowd: &Crowd) -> [f64; ESTIMATES.len()] {
    let keys = by_key(&crowd.rows);
    let mut rates: Vec<f64> = keys.iter().map(|(started, succeeded)| succeeded / started).collect();
    rates.sort_by(f64::total_cmp);
    let everybody = pooled(&weighted(crowd, &crowd.trusts[0], Whose::Everybody));
    let [few, some, many] =
        [0, 1, 2].map(|trust| pooled(&weighted(crowd, &crowd.trusts[trust], Whose::Circle)));
    [raw_sum(&keys), capped(&keys), trimmed(&rates), median(&rates), everybody, few, some, many]
}

fn raw_sum(keys: &[(f64, f64)]) -> f64 {
    let sum = |of: fn(&(f64, f64)) -> f64| keys.iter().map(of).sum::<f64>();
    sum(|key| key.1) / sum(|key| key.0)
}

fn capped(keys: &[(f64, f64)]) -> f64 {
    let weight = |key: &(f64, f64)| key.0.min(GROWER_CAP);
    let sum: f64 = keys.iter().map(|key| weight(key) * key.1 / key.0).sum();
    sum / keys.iter().map(weight).sum::<f64>()
}

/// 20 % left out at both ends.
fn trimmed(rates: &[f64]) -> f64 {
    let cut = rates.len() / 5;
    let kept = &rates[cut..rates.len() - cut];
    kept.iter().sum::<f64>() / kept.len() as f64
}

fn median(rates: &[f64]) -> f64 {
    let middle = rates.len() / 2;
    if rates.len().is_multiple_of(2) {
        f64::midpoint(rates[middle - 1], rates[middle])
    } else {
        rates[middle]
    }
}

/// Rows of those who count for `whose`, with their weights.
fn weighted(crowd: &Crowd, trust: &Trust, whose: Whose) -> Vec<EvidenceRow> {
    let circle = trust.circle();
    let weight =
        |row: &EvidenceRow| circle.weight(&AuthorKey::from_str(&row.publisher).expect("a key"), whose);
    let rows = crowd.rows.iter().map(|row| EvidenceRow { weight: weight(row), ..row.clone() });
    rows.filter(|row| row.weight > 0.0).collect()
}

/// The default model's average grower.
fn pooled(rows: &[EvidenceRow]) -> f64 {
    let rows: Vec<&EvidenceRow> = rows.iter().collect();
    let growers = growers(&clusters(&rows, Lost::AsFailures, true));
    let fit = rate::fit(&growers, &rate::Options::default()).expect("the counts are possible");
    fit.summary().average_grower_rate_mean
}
