//! Counts of a group of arms, and the same as clusters for the model.

use std::collections::{BTreeMap, BTreeSet};

use propagule_analysis::{Count, Grower};

use super::row::EvidenceRow;

/// Pieces a grower may bring before the weight of all of them is held at this many.
pub const GROWER_CAP: f64 = 60.0;

/// What a group of counted arms adds up to.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    /// Clusters.
    pub growers: usize,
    /// Authors.
    pub publishers: usize,
    /// Trials.
    pub trials: usize,
    /// Arms.
    pub arms: usize,
    /// Arms without any success.
    pub arms_none: usize,
    /// Pieces put in.
    pub started: u32,
    /// Successes.
    pub succeeded: u32,
    /// Pieces never scored.
    pub lost: u32,
    /// Pieces alive without being a success.
    pub still_waiting: u32,
    /// Arms that share their trial with another arm of the group.
    pub mixed_arms: usize,
    /// Fewest and most weeks from starting to the count.
    pub weeks: Option<(u16, u16)>,
    /// Whether growers of one publisher were joined into one.
    pub marks_joined: bool,
}

fn distinct<'a>(rows: &[&'a EvidenceRow], label: fn(&'a EvidenceRow) -> &'a String) -> usize {
    rows.iter().map(|row| label(row)).collect::<BTreeSet<_>>().len()
}

/// A sum of counts; a table may hold more than any bench, so it stops at the largest number.
fn sum(rows: &[&EvidenceRow], count: fn(&EvidenceRow) -> u32) -> u32 {
    rows.iter().fold(0, |sum: u32, row| sum.saturating_add(count(row)))
}

/// Adds up counted arms.
pub fn tally(rows: &[&EvidenceRow]) -> Tally {
    let weeks = || rows.iter().filter_map(|row| row.weeks);
    Tally {
        growers: distinct(rows, |row| &row.grower),
        publishers: distinct(rows, |row| &row.publisher),
        trials: distinct(rows, |row| &row.trial),
        arms: rows.len(),
        arms_none: rows.iter().filter(|row| row.succeeded == 0).count(),
        started: sum(rows, |row| row.started),
        succeeded: sum(rows, |row| row.succeeded),
        lost: sum(rows, |row| row.lost),
        still_waiting: sum(rows, EvidenceRow::still_waiting),
        mixed_arms: mixed_arms(rows),
        weeks: weeks().min().zip(weeks().max()),
        marks_joined: rows.iter().any(|row| row.flags.marks_joined),
    }
}

fn mixed_arms(rows: &[&EvidenceRow]) -> usize {
    let mut arms: BTreeMap<&str, usize> = BTreeMap::new();
    for row in rows {
        *arms.entry(&row.trial).or_default() += 1;
    }
    arms.values().filter(|arms| **arms > 1).sum()
}

/// One cluster with its label.
#[derive(Clone, Debug, PartialEq)]
pub struct Cluster {
    /// Label of the grower.
    pub label: String,
    /// Counts by trial, and the power on the likelihood.
    pub grower: Grower,
}

/// How unscored pieces enter the counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lost {
    /// As failures.
    AsFailures,
    /// Not at all: neither put in nor failed.
    LeftOut,
}

/// Clusters in the order of their labels; arms of one trial are added up first.
///
/// With `capped` a grower's likelihood is raised to min(1, 60 / pieces) beside its weight. A trial whose
/// pieces are all unscored is nothing when they are left out.
pub fn clusters(rows: &[&EvidenceRow], lost: Lost, capped: bool) -> Vec<Cluster> {
    let mut by_grower: BTreeMap<&str, BTreeMap<&str, (u32, u32)>> = BTreeMap::new();
    let mut weights: BTreeMap<&str, f64> = BTreeMap::new();
    for row in rows {
        let unscored = if lost == Lost::LeftOut { row.lost } else { 0 };
        let sums = by_grower.entry(&row.grower).or_default().entry(&row.trial).or_default();
        sums.0 = sums.0.saturating_add(row.started.saturating_sub(unscored));
        sums.1 = sums.1.saturating_add(row.succeeded);
        let weight = weights.entry(&row.grower).or_insert(row.weight);
        *weight = weight.max(row.weight);
    }
    by_grower.iter().filter_map(|(label, trials)| cluster(label, trials, weights[label], capped)).collect()
}

fn cluster(label: &str, trials: &BTreeMap<&str, (u32, u32)>, weight: f64, capped: bool) -> Option<Cluster> {
    let trials: Vec<Count> = trials
        .values()
        .filter(|sums| sums.0 > 0)
        .filter_map(|sums| Count::new(sums.0, sums.1).ok())
        .collect();
    let pieces: f64 = trials.iter().map(|count| f64::from(count.started)).sum();
    let cap = if capped { (GROWER_CAP / pieces.max(1.0)).min(1.0) } else { 1.0 };
    let grower = Grower { trials, weight: weight * cap };
    (!grower.trials.is_empty()).then(|| Cluster { label: label.to_owned(), grower })
}

/// The growers alone, for the model.
pub fn growers(clusters: &[Cluster]) -> Vec<Grower> {
    clusters.iter().map(|cluster| cluster.grower.clone()).collect()
}
