//! How often every level and every combination was tried.

use std::collections::{BTreeMap, BTreeSet};

use super::{Facet, FacetGrower};

/// Growers, trials and pieces behind a level or combination.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Support {
    pub(super) growers: usize,
    pub(super) trials: usize,
    pub(super) started: u64,
    pub(super) succeeded: u64,
    last: Option<(usize, usize)>,
}

impl Support {
    fn add(&mut self, grower: usize, trial: usize, started: u32, succeeded: u32) {
        self.growers += usize::from(self.last.is_none_or(|last| last.0 != grower));
        self.trials += usize::from(self.last != Some((grower, trial)));
        self.last = Some((grower, trial));
        self.started += u64::from(started);
        self.succeeded += u64::from(succeeded);
    }
}

/// What was tried, growers of weight 0 and arms without pieces left out.
#[derive(Clone, Debug)]
pub(super) struct Tried {
    /// `levels[facet][level]`.
    pub(super) levels: Vec<Vec<Support>>,
    /// Trials that hold this level and another of the same facet.
    pub(super) side_by_side: Vec<Vec<usize>>,
    pub(super) combinations: BTreeMap<Vec<usize>, Support>,
}

impl Tried {
    pub(super) fn new(facets: &[Facet], growers: &[FacetGrower]) -> Self {
        let mut out = Self {
            levels: facets.iter().map(|facet| vec![Support::default(); facet.levels]).collect(),
            side_by_side: facets.iter().map(|facet| vec![0; facet.levels]).collect(),
            combinations: BTreeMap::new(),
        };
        for (g, grower) in growers.iter().enumerate().filter(|(_, grower)| grower.weight > 0.0) {
            for (t, trial) in grower.trials.iter().enumerate() {
                let mut together = vec![BTreeSet::new(); facets.len()];
                for arm in trial.iter().filter(|arm| arm.count.started > 0) {
                    let (n, r) = (arm.count.started, arm.count.succeeded);
                    out.combinations.entry(arm.levels.clone()).or_default().add(g, t, n, r);
                    for (facet, level) in arm.levels.iter().enumerate() {
                        out.levels[facet][*level].add(g, t, n, r);
                        together[facet].insert(*level);
                    }
                }
                out.count_together(&together);
            }
        }
        out
    }

    fn count_together(&mut self, together: &[BTreeSet<usize>]) {
        for (counts, levels) in self.side_by_side.iter_mut().zip(together).filter(|(_, l)| l.len() > 1) {
            for level in levels {
                counts[*level] += 1;
            }
        }
    }

    /// The level of a facet with most pieces, the first among equals.
    pub(super) fn most(&self, facet: usize) -> usize {
        let levels = self.levels[facet].iter().enumerate();
        levels.rev().max_by_key(|(_, support)| support.started).map_or(0, |(level, _)| level)
    }
}
