//! From rows to effects.

use std::collections::{BTreeMap, BTreeSet};

use super::JointOptions;
use super::spreads::{ARM, GROWER, Spreads, TRIAL};
use crate::laplace::{ArmPlace, Block, LaplaceArm, Problem, Variances};
use crate::table::ArmTable;

/// Kinds of a grower's own effects.
const OWN_GROWER: usize = 0;
const OWN_TRIAL: usize = 1;

/// An effect of a species and method: the kind of its spread, and its levels.
type Effect = (usize, [usize; 2]);

/// The effects of genus, species and method, in the order of the kinds of spreads.
fn effects([genus, species, method]: [usize; 3]) -> [Effect; 5] {
    [(0, [genus, 0]), (1, [species, 0]), (2, [method, 0]), (3, [genus, method]), (4, [species, method])]
}

/// A corpus as Laplace's method takes it. Global effect 0 is the overall level.
pub(super) struct Layout {
    pub(super) problem: Problem,
    places: BTreeMap<Effect, usize>,
    /// Arms of each species and method.
    own: BTreeMap<[usize; 2], Vec<ArmPlace>>,
    /// Kind of the own effects of each block.
    pub(super) own_kinds: Vec<Vec<usize>>,
    pub(super) weights: Vec<f64>,
    pub(super) arms: Vec<ArmPlace>,
}

/// Where a species and method stands.
pub(super) struct CellPlace {
    /// Its effects that are seen, the overall level among them.
    pub(super) seen: Vec<usize>,
    /// Kinds of spreads of those that are not.
    pub(super) unseen: Vec<usize>,
    pub(super) own: Vec<ArmPlace>,
}

/// A trial by what it holds: levels, pieces and successes of its arms.
type Content = Vec<([usize; 3], u32, u32)>;

impl Layout {
    pub(super) fn new(table: &ArmTable) -> Self {
        let growers = contents(table);
        let cells = growers.iter().flat_map(|(_, trials)| trials.iter().flatten()).map(|arm| arm.0);
        let seen: BTreeSet<Effect> = cells.flat_map(effects).collect();
        let places: BTreeMap<Effect, usize> = seen.into_iter().zip(1..).collect();
        let mut out = Self {
            problem: Problem { globals: 1 + places.len(), blocks: Vec::new() },
            places,
            own: BTreeMap::new(),
            own_kinds: Vec::new(),
            weights: Vec::new(),
            arms: Vec::new(),
        };
        for (weight, trials) in &growers {
            out.add_grower(*weight, trials);
        }
        out
    }

    fn add_grower(&mut self, weight: f64, trials: &[Content]) {
        let block = self.problem.blocks.len();
        let mut arms = Vec::new();
        for (trial, content) in trials.iter().enumerate() {
            for (levels, started, succeeded) in content {
                let place = (block, arms.len());
                self.arms.push(place);
                self.own.entry([levels[1], levels[2]]).or_default().push(place);
                let effects = effects(*levels).map(|effect| self.places[&effect]);
                arms.push(LaplaceArm {
                    succeeded: f64::from(*succeeded),
                    started: f64::from(*started),
                    global: [0].into_iter().chain(effects).collect(),
                    own: vec![0, 1 + trial],
                });
            }
        }
        let kinds: Vec<usize> = [OWN_GROWER].into_iter().chain(trials.iter().map(|_| OWN_TRIAL)).collect();
        self.own_kinds
            .push(kinds.iter().map(|kind| if *kind == OWN_GROWER { GROWER } else { TRIAL }).collect());
        self.weights.push(weight);
        self.problem.blocks.push(Block::new(arms, kinds, weight));
    }

    /// Kind of spread of each global effect but the overall level, which has none.
    pub(super) fn global_kinds(&self) -> Vec<Option<usize>> {
        let mut kinds = vec![None; self.problem.globals];
        self.places.iter().for_each(|((kind, _), place)| kinds[*place] = Some(*kind));
        kinds
    }

    pub(super) fn variances(&self, spreads: &Spreads, options: &JointOptions) -> Variances {
        let variance = |kind: usize| spreads.sd[kind].powi(2);
        let global = |kind: Option<usize>| kind.map_or(options.level_sd.powi(2), variance);
        Variances {
            global: self.global_kinds().into_iter().map(global).collect(),
            own: vec![variance(GROWER), variance(TRIAL)],
            arm: variance(ARM),
        }
    }

    pub(super) fn cell(&self, genus: usize, species: usize, method: usize) -> CellPlace {
        let (mut seen, mut unseen) = (vec![0], Vec::new());
        for effect in effects([genus, species, method]) {
            match self.places.get(&effect) {
                Some(place) => seen.push(*place),
                None => unseen.push(effect.0),
            }
        }
        CellPlace { seen, unseen, own: self.own.get(&[species, method]).cloned().unwrap_or_default() }
    }
}

/// Growers with their weight and trials, by content, so that names and order do not matter.
fn contents(table: &ArmTable) -> Vec<(f64, Vec<Content>)> {
    let mut growers: BTreeMap<usize, (f64, BTreeMap<usize, Content>)> = BTreeMap::new();
    for row in table.counted() {
        let [Some(genus), Some(species), Some(method)] = row.levels[..] else { continue };
        let grower = growers.entry(row.grower).or_insert_with(|| (table.weight(row), BTreeMap::new()));
        let arm = ([genus, species, method], row.count.started, row.count.succeeded);
        grower.1.entry(row.trial).or_default().push(arm);
    }
    let sorted = |(weight, trials): (f64, BTreeMap<usize, Content>)| {
        let mut trials: Vec<Content> = trials.into_values().collect();
        for trial in &mut trials {
            trial.sort_unstable();
        }
        trials.sort();
        (weight, trials)
    };
    let mut out: Vec<(f64, Vec<Content>)> = growers.into_values().map(sorted).collect();
    out.sort_by(|a, b| a.1.cmp(&b.1).then(a.0.total_cmp(&b.0)));
    out
}
