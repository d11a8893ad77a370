//! Which methods were compared side by side, and which of them tell nothing.

use std::collections::{BTreeMap, BTreeSet};

use propagule_evidence::MethodGroup;

/// Positions of the methods that each trial holds.
fn methods_by_trial<'a>(groups: &[MethodGroup<'a>]) -> BTreeMap<&'a str, BTreeSet<usize>> {
    let mut trials: BTreeMap<&str, BTreeSet<usize>> = BTreeMap::new();
    for (index, group) in groups.iter().enumerate() {
        for row in &group.rows {
            trials.entry(&row.trial).or_default().insert(index);
        }
    }
    trials
}

/// Root of `index` in a forest of parents.
fn root(parents: &[usize], mut index: usize) -> usize {
    while parents[index] != index {
        index = parents[index];
    }
    index
}

/// Methods linked by trials that hold several of them, each component and the list sorted.
pub(super) fn components(groups: &[MethodGroup<'_>]) -> Vec<Vec<String>> {
    let mut parents: Vec<usize> = (0..groups.len()).collect();
    for methods in methods_by_trial(groups).values() {
        let mut methods = methods.iter();
        let Some(first) = methods.next() else { continue };
        for other in methods {
            let (a, b) = (root(&parents, *first), root(&parents, *other));
            parents[a.max(b)] = a.min(b);
        }
    }
    let mut components: BTreeMap<usize, Vec<String>> = BTreeMap::new();
    for (index, group) in groups.iter().enumerate() {
        components.entry(root(&parents, index)).or_default().push(group.label.clone());
    }
    components.into_values().collect()
}

/// Methods that were compared with others, but only in trials where nothing or everything succeeded.
pub(super) fn without_information(groups: &[MethodGroup<'_>]) -> Vec<String> {
    let mut trials: BTreeMap<&str, (u64, u64)> = BTreeMap::new();
    for row in groups.iter().flat_map(|group| &group.rows) {
        let sums = trials.entry(&row.trial).or_default();
        sums.0 += u64::from(row.started);
        sums.1 += u64::from(row.succeeded);
    }
    let shared = methods_by_trial(groups);
    let tells = |trial: &str| trials.get(trial).is_some_and(|(started, done)| 0 < *done && done < started);
    let mut labels = Vec::new();
    for (index, group) in groups.iter().enumerate() {
        let compared: Vec<&str> = shared
            .iter()
            .filter(|(_, methods)| methods.len() > 1 && methods.contains(&index))
            .map(|(trial, _)| *trial)
            .collect();
        if !compared.is_empty() && !compared.into_iter().any(tells) {
            labels.push(group.label.clone());
        }
    }
    labels
}
