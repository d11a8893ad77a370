//! What became of the pieces of methods after the first count: moves, and the whole life.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use std::collections::{BTreeMap, BTreeSet};

use super::method::phase_words;
use super::row::EvidenceRow;

/// Successes of a method that were first seen after a move.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Moved {
    /// Where to, in words; several moves with "then" between.
    pub path: String,
    /// Fewest and most weeks from starting to the last move.
    pub weeks: (u16, u16),
    /// Trials with such a move.
    pub trials: usize,
    /// Successes first seen after it.
    pub rooted: u32,
    /// Propagules started of the treatments that were moved so.
    pub started: u32,
}

/// The moves of counted treatments, by their path.
pub fn moved(rows: &[&EvidenceRow]) -> Vec<Moved> {
    let mut by_path: BTreeMap<String, (Moved, BTreeSet<&str>)> = BTreeMap::new();
    for row in rows {
        let mut path = String::new();
        for (phase, seen) in row.phases.iter().zip(&row.first_seen) {
            let words = phase_words(&row.facets, &phase.facets);
            path = if path.is_empty() { words } else { format!("{path}, then {words}") };
            let weeks = (phase.after_weeks, phase.after_weeks);
            let none = Moved { path: path.clone(), weeks, trials: 0, rooted: 0, started: 0 };
            let (moved, trials) = by_path.entry(path.clone()).or_insert_with(|| (none, BTreeSet::new()));
            trials.insert(&row.trial);
            moved.weeks = (moved.weeks.0.min(weeks.0), moved.weeks.1.max(weeks.1));
            moved.rooted = moved.rooted.saturating_add(*seen);
            moved.started = moved.started.saturating_add(row.started);
            moved.trials = trials.len();
        }
    }
    by_path.into_values().map(|(moved, _)| moved).collect()
}

/// The outcome in the end of the trials of a method.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct WholeLife {
    /// Trials whose survivors are resolved.
    pub trials: usize,
    /// Growers of those.
    pub growers: usize,
    /// Propagules started.
    pub started: u32,
    /// Propagules that were ever rooted.
    pub ever_rooted: u32,
    /// Alive without roots at the last count; none where some treatment does not say, or without a trial.
    pub still_waiting: Option<u32>,
    /// Trials whose survivors are not resolved; nothing of them is counted here.
    pub pending: usize,
}

/// Adds up the trials of one method; none where no treatment tells of its life.
pub fn whole_life(rows: &[&EvidenceRow]) -> Option<WholeLife> {
    let mut by_trial: BTreeMap<&str, Vec<&EvidenceRow>> = BTreeMap::new();
    for row in rows.iter().filter(|row| row.life.is_some() || !row.pending) {
        by_trial.entry(&row.trial).or_default().push(row);
    }
    if rows.iter().all(|row| row.life.is_none()) {
        return None;
    }
    let is_resolved =
        |rows: &Vec<&EvidenceRow>| rows.iter().all(|row| row.life.is_some_and(|life| life.is_resolved));
    let (resolved, pending): (Vec<_>, Vec<_>) = by_trial.into_values().partition(is_resolved);
    let lives = || resolved.iter().flatten().filter_map(|row| row.life);
    let growers: BTreeSet<&str> = resolved.iter().flatten().map(|row| row.grower.as_str()).collect();
    Some(WholeLife {
        trials: resolved.len(),
        growers: growers.len(),
        started: resolved.iter().flatten().fold(0, |sum: u32, row| sum.saturating_add(row.started)),
        ever_rooted: lives().fold(0, |sum: u32, life| sum.saturating_add(life.ever_rooted)),
        // Of no trial nothing is known, which is not none.
        still_waiting: if resolved.is_empty() { None } else { lives().map(|life| life.still_waiting).sum() },
        pending: pending.len(),
    })
}
