//! Which pairs may be judged at all.
//!
//! In one facet, with a mean for every stratum, a difference is estimable exactly where strata join both levels, directly or
//! through others: the rank of the design within strata is the number of levels less that of their components.

use std::collections::{BTreeMap, BTreeSet};

use super::layout::Stratum;
use crate::table::ArmTable;

/// What trials hold side by side.
pub(super) struct Gates {
    levels: usize,
    /// Trial by trial: levels joined in it, in one stratum or not.
    held: BTreeMap<usize, BTreeSet<usize>>,
    /// Trial and levels of every stratum that compares any.
    compared: Vec<(usize, Vec<usize>)>,
    /// Replicates by trial and level, over strata that compare.
    replicates: BTreeMap<(usize, usize), u32>,
    /// Facets that are not the same, and known, in all arms of a trial.
    moving: BTreeMap<usize, BTreeSet<usize>>,
}

/// How two levels stand to each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Joined {
    /// No trial joins them, even through others.
    Never,
    /// Trials join them, but only where something else differs as well.
    WithOthers,
    /// One trial with one replicate of either.
    OneUnit,
    /// Differences inside strata tell.
    Clean,
}

impl Gates {
    pub(super) fn new(table: &ArmTable, facet: usize, strata: &[Stratum]) -> Self {
        let mut held: BTreeMap<usize, BTreeSet<usize>> = BTreeMap::new();
        let mut seen: BTreeMap<usize, Vec<BTreeSet<Option<usize>>>> = BTreeMap::new();
        for row in table.counted() {
            held.entry(row.trial).or_default().extend(row.levels[facet]);
            let sets = seen.entry(row.trial).or_insert_with(|| vec![BTreeSet::new(); row.levels.len()]);
            sets.iter_mut().zip(&row.levels).for_each(|(set, level)| set.extend([*level]));
        }
        let moves = |sets: Vec<BTreeSet<Option<usize>>>| {
            let moves = |(k, set): &(usize, BTreeSet<Option<usize>>)| {
                *k != facet && (set.len() > 1 || set.contains(&None))
            };
            sets.into_iter().enumerate().filter(moves).map(|(k, _)| k).collect()
        };
        let moving = seen.into_iter().map(|(trial, sets)| (trial, moves(sets))).collect();
        let mut replicates: BTreeMap<(usize, usize), u32> = BTreeMap::new();
        let comparing = || strata.iter().filter(|stratum| !stratum.compared().is_empty());
        for (stratum, (level, row)) in comparing().flat_map(|s| s.arms.iter().map(move |arm| (s, arm))) {
            if let Some(level) = level {
                *replicates.entry((stratum.trial, *level)).or_default() += row.replicates;
            }
        }
        let compared = comparing().map(|stratum| (stratum.trial, stratum.compared())).collect();
        Self { levels: table.facets()[facet], held, compared, replicates, moving }
    }

    /// Trials that hold both in one stratum.
    pub(super) fn side_by_side(&self, a: usize, b: usize) -> BTreeSet<usize> {
        let holds = |(_, levels): &&(usize, Vec<usize>)| levels.contains(&a) && levels.contains(&b);
        self.compared.iter().filter(holds).map(|(trial, _)| *trial).collect()
    }

    pub(super) fn joined(&self, a: usize, b: usize) -> Joined {
        let in_trials = self.held.values().map(|levels| levels.iter().copied().collect());
        if !is_joined(self.levels, in_trials, a, b) {
            return Joined::Never;
        }
        let without = |left_out: Option<usize>| {
            let kept = self.compared.iter().filter(move |(trial, _)| Some(*trial) != left_out);
            is_joined(self.levels, kept.map(|(_, levels)| levels.clone()), a, b)
        };
        if !without(None) {
            return Joined::WithOthers;
        }
        let is_single = |trial: usize| [a, b].iter().any(|level| self.replicates[&(trial, *level)] < 2);
        match self.side_by_side(a, b).first() {
            Some(trial) if is_single(*trial) && !without(Some(*trial)) => Joined::OneUnit,
            _ => Joined::Clean,
        }
    }

    /// Facets that moved together with this one: in the trials that hold both, or, without any, in all that hold either.
    pub(super) fn together(&self, a: usize, b: usize) -> Vec<usize> {
        let both = |levels: &BTreeSet<usize>| levels.contains(&a) && levels.contains(&b);
        let either =
            |levels: &BTreeSet<usize>| levels.len() > 1 && (levels.contains(&a) || levels.contains(&b));
        let is_direct = self.held.values().any(both);
        let counts = |levels: &BTreeSet<usize>| if is_direct { both(levels) } else { either(levels) };
        let trials = self.held.iter().filter(|(_, levels)| counts(levels)).map(|(trial, _)| trial);
        let facets: BTreeSet<usize> = trials.flat_map(|trial| &self.moving[trial]).copied().collect();
        facets.into_iter().collect()
    }
}

/// Whether a chain of sets leads from one level to the other.
fn is_joined(levels: usize, sets: impl Iterator<Item = Vec<usize>>, a: usize, b: usize) -> bool {
    let mut name: Vec<usize> = (0..levels).collect();
    for set in sets {
        for pair in set.windows(2) {
            let (keep, drop) = (name[pair[0]], name[pair[1]]);
            name.iter_mut().filter(|own| **own == drop).for_each(|own| *own = keep);
        }
    }
    name[a] == name[b]
}
