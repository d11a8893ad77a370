//! Records that are perhaps the same trial, published twice.

use std::collections::BTreeMap;

use propagule_protocol::{Arm, Counts, Region};

use super::{HeldTrial, cluster_label};

/// What decides whether two records are perhaps the same trial, and which of them is kept.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct SameTrial {
    /// Taxon, month, region and arms as text; `None` for a trial of one arm, which says too little.
    content: Option<String>,
    cluster: String,
    author: String,
    own: bool,
    series: [u8; 16],
}

pub(super) fn same_trial_key(trial: &HeldTrial<'_>) -> SameTrial {
    let summary = trial.summary;
    let content = (summary.arms.len() >= 2).then(|| {
        let mut arms: Vec<String> = summary.arms.iter().map(arm_text).collect();
        arms.sort();
        format!(
            "{}|{:?}|{}|{}",
            summary.taxon.key(),
            summary.season,
            region_text(&summary.region),
            arms.join("|")
        )
    });
    SameTrial {
        content,
        cluster: cluster_label(trial),
        author: trial.author.to_string(),
        own: trial.own,
        series: summary.series,
    }
}

fn arm_text(arm: &Arm) -> String {
    let counts = [&arm.stages.lift, &arm.stages.spring, &arm.stages.last];
    let counts: Vec<String> =
        counts.into_iter().map(|counts| counts.as_ref().map_or(String::new(), counts_text)).collect();
    format!("{} {:?} {}", arm.started, arm.facets, counts.join("/"))
}

fn counts_text(counts: &Counts) -> String {
    let Counts { alive, callused, rooted, established, finished, dead, lost, .. } = counts;
    format!("{alive:?}{callused:?}{rooted:?}{established:?}{finished:?}{dead:?}{lost:?}")
}

fn region_text(region: &Region) -> String {
    let Region { rule, koppen, zone, coldest, hottest, rain, .. } = region;
    format!("{rule:?}{koppen:?}{zone:?}{coldest:?}{hottest:?}{rain:?}")
}

/// Marks the copies. Of records that agree, one is counted: the reader's own first, then the one whose author
/// holds the fewest records here, so that a key that copies many growers cannot draw their trials into one
/// cluster; then the lowest author and series.
pub(super) fn mark_duplicates(trials: &[SameTrial]) -> Vec<bool> {
    let mut records: BTreeMap<&str, usize> = BTreeMap::new();
    for trial in trials {
        *records.entry(&trial.author).or_default() += 1;
    }
    let rank =
        |trial: &SameTrial| (!trial.own, records[trial.author.as_str()], trial.author.clone(), trial.series);
    let mut kept: BTreeMap<&str, usize> = BTreeMap::new();
    for (index, trial) in trials.iter().enumerate() {
        let Some(content) = trial.content.as_deref() else { continue };
        let best = kept.entry(content).or_insert(index);
        if rank(trial) < rank(&trials[*best]) {
            *best = index;
        }
    }
    trials.iter().map(|trial| is_copy(trial, trials, &kept)).collect()
}

/// Two equal trials of one cluster are one cluster already and both count.
fn is_copy(trial: &SameTrial, trials: &[SameTrial], kept: &BTreeMap<&str, usize>) -> bool {
    let kept = trial.content.as_deref().and_then(|content| kept.get(content)).map(|index| &trials[*index]);
    kept.is_some_and(|kept| kept.cluster != trial.cluster)
}
