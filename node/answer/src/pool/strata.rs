//! Arms of which one thing is compared, as the engine of shrunk contrasts takes them.
//!
//! Arms stand in one stratum where they are of one trial and alike in everything but what is compared. Of more trials than an
//! answer can wait for, those are taken that stand for all: each set of levels that trials hold gives as many, the weightiest
//! first, then those that a hash puts first.

use std::collections::{BTreeMap, BTreeSet};

use propagule_analysis::shrunk::{ShrunkFit, ShrunkOptions, fit};
use propagule_analysis::table::{ArmTable, CountedArm};
use propagule_analysis::{Count, FitError};
use propagule_evidence::{EvidenceRow, GROWER_CAP, LaterPhase};
use sha2::{Digest, Sha256};

/// Most trials that are compared in one fit.
pub(super) const MOST_TRIALS: usize = 200;

/// What two arms have to be alike in to stand in one stratum.
pub(super) type Rest<'a> = (Vec<(&'a str, &'a str)>, &'a [LaterPhase], Option<u8>, i8);

/// An arm with what is compared of it, and everything else.
#[derive(Clone, Debug)]
pub(super) struct Held<'a> {
    pub(super) row: &'a EvidenceRow,
    pub(super) level: usize,
    pub(super) rest: Rest<'a>,
}

/// All else of an arm than what `is_compared`.
pub(super) fn rest(row: &EvidenceRow, is_compared: impl Fn(&str) -> bool) -> Rest<'_> {
    let others = row.facets.iter().filter(|(name, _)| !is_compared(name));
    let others = others.map(|(name, word)| (name.as_str(), word.as_str()));
    (others.collect(), &row.phases, row.flags.unlisted_difference, row.flags.start_offset)
}

/// A fit, and on how many of the trials that hold two levels side by side it rests.
#[derive(Clone, Debug)]
pub(super) struct Compared {
    pub(super) fit: ShrunkFit,
    pub(super) trials: usize,
    pub(super) of_trials: usize,
}

/// Compares `levels` levels two by two; with `capped` a grower's likelihood is raised to min(1, 60 / pieces) beside its weight.
pub(super) fn compare(levels: usize, arms: &[Held<'_>], capped: bool) -> Result<Compared, FitError> {
    let sets = sets(arms);
    let comparing = |trials: &BTreeSet<&str>| trials.iter().filter(|trial| sets[*trial].len() > 1).count();
    let all: BTreeSet<&str> = sets.keys().copied().collect();
    let kept = kept(arms, &sets);
    let (trials, of_trials) = (comparing(&kept), comparing(&all));
    let arms: Vec<&Held<'_>> = arms.iter().filter(|arm| kept.contains(arm.row.trial.as_str())).collect();
    let fit = fit(&table(levels, &arms, &sets, capped), 0, &ShrunkOptions::default())?;
    Ok(Compared { fit, trials, of_trials })
}

/// For each trial the levels that stand beside another one in some stratum of it, or the one level that it has.
fn sets<'a>(arms: &[Held<'a>]) -> BTreeMap<&'a str, BTreeSet<usize>> {
    let mut strata: BTreeMap<(&str, &Rest<'_>), BTreeSet<usize>> = BTreeMap::new();
    for arm in arms {
        strata.entry((arm.row.trial.as_str(), &arm.rest)).or_default().insert(arm.level);
    }
    let mut sets: BTreeMap<&str, BTreeSet<usize>> = BTreeMap::new();
    for ((trial, _), levels) in strata {
        let set = sets.entry(trial).or_default();
        match (set.len(), levels.len()) {
            (0, _) | (2.., 2..) => set.extend(levels),
            (1, 2..) => *set = levels,
            _ => {}
        }
    }
    sets
}

/// The trials that are taken.
fn kept<'a>(arms: &[Held<'a>], sets: &BTreeMap<&'a str, BTreeSet<usize>>) -> BTreeSet<&'a str> {
    if sets.len() <= MOST_TRIALS {
        return sets.keys().copied().collect();
    }
    let weights: BTreeMap<&str, f64> =
        arms.iter().map(|arm| (arm.row.trial.as_str(), arm.row.weight)).collect();
    let mut cells: BTreeMap<&BTreeSet<usize>, Vec<&'a str>> = BTreeMap::new();
    for (trial, set) in sets {
        cells.entry(set).or_default().push(trial);
    }
    let each = share(&cells.values().map(Vec::len).collect::<Vec<_>>());
    let mut kept = BTreeSet::new();
    for mut trials in cells.into_values() {
        trials.sort_by_cached_key(|trial| (std::cmp::Reverse(rank(weights[trial])), hash(trial)));
        kept.extend(trials.into_iter().take(each));
    }
    kept
}

/// A weight as a number that sorts.
fn rank(weight: f64) -> u64 {
    (weight.clamp(0.0, 1.0) * 1e9) as u64
}

fn hash(trial: &str) -> [u8; 32] {
    Sha256::digest(trial).into()
}

/// The largest number that each may give.
fn share(sizes: &[usize]) -> usize {
    let given = |each: usize| sizes.iter().map(|size| (*size).min(each)).sum::<usize>();
    crate::share_out::share(MOST_TRIALS, |each| given(each) <= MOST_TRIALS)
}

fn table(
    levels: usize,
    arms: &[&Held<'_>],
    sets: &BTreeMap<&str, BTreeSet<usize>>,
    capped: bool,
) -> ArmTable {
    let growers = numbered(arms.iter().map(|arm| arm.row.grower.as_str()));
    let trials = numbered(arms.iter().map(|arm| arm.row.trial.as_str()));
    let rests = numbered(arms.iter().map(|arm| &arm.rest));
    let mut weights = vec![0.0_f64; growers.len()];
    let mut pieces = vec![0.0_f64; growers.len()];
    let row = |arm: &&Held<'_>| {
        let started = arm.row.started;
        CountedArm {
            grower: growers[arm.row.grower.as_str()],
            trial: trials[arm.row.trial.as_str()],
            levels: vec![Some(arm.level), Some(rests[&arm.rest])],
            count: Count { started, succeeded: arm.row.succeeded.min(started) },
            replicates: replicates(arm.row),
        }
    };
    let rows: Vec<CountedArm> = arms.iter().map(row).collect();
    for (arm, row) in arms.iter().zip(&rows) {
        weights[row.grower] = weights[row.grower].max(arm.row.weight.clamp(0.0, 1.0));
        let compares = sets[arm.row.trial.as_str()].len() > 1;
        pieces[row.grower] += if compares { f64::from(row.count.started) } else { 0.0 };
    }
    if capped {
        let cap = |pieces: f64| (GROWER_CAP / pieces.max(1.0)).min(1.0);
        weights.iter_mut().zip(&pieces).for_each(|(weight, pieces)| *weight *= cap(*pieces));
    }
    ArmTable::new(vec![levels, rests.len()], weights, rows).expect("rows are numbered from these arms")
}

/// Numbers from 0 in rising order.
fn numbered<T: Ord>(names: impl Iterator<Item = T>) -> BTreeMap<T, usize> {
    let names: BTreeSet<T> = names.collect();
    names.into_iter().zip(0..).collect()
}

fn replicates(row: &EvidenceRow) -> u32 {
    let pots = u32::try_from(row.pots.iter().filter(|pot| pot.started > 0).count()).unwrap_or(u32::MAX);
    match (row.flags.single_replicate, row.flags.unit_is_piece, pots) {
        (true, ..) => 1,
        (false, false, 1..) => pots,
        (false, ..) => row.started.max(2),
    }
}
