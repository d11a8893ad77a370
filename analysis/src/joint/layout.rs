//! From rows to effects, and where their information stands.

use std::collections::{BTreeMap, BTreeSet};

use super::spreads::{ARM, GROWER, Spreads, TRIAL};
use super::{Caps, JointOptions, capped};
use crate::sparse::Pattern;
use crate::table::ArmTable;

/// An effect of a species and method: the kind of its spread, and its levels.
type Effect = (usize, [usize; 2]);

/// Variables that an arm's log odds are the sum of: the overall level, five effects, and the grower.
pub(super) const TERMS: usize = 7;

/// The effects of genus, species and method, in the order of the kinds of spreads.
fn effects([genus, species, method]: [usize; 3]) -> [Effect; 5] {
    [(0, [genus, 0]), (1, [species, 0]), (2, [method, 0]), (3, [genus, method]), (4, [species, method])]
}

/// An arm: its place among all arms, its counts, and its variables as places among those of the trial.
#[derive(Clone, Debug)]
pub(super) struct Arm {
    pub(super) place: usize,
    pub(super) started: f64,
    pub(super) succeeded: f64,
    pub(super) terms: [usize; TERMS],
}

/// A trial with the variables of its arms, and where each two of them stand among the entries of the information.
#[derive(Clone, Debug)]
pub(super) struct Trial {
    pub(super) grower: usize,
    pub(super) arms: Vec<Arm>,
    pub(super) touched: Vec<usize>,
    pub(super) slots: Vec<u32>,
}

/// Where an arm is: its trial, and its place there.
pub(super) type ArmPlace = (usize, usize);

/// A corpus. Variable 0 is the overall level; those of growers come last.
#[derive(Clone, Debug)]
pub(super) struct Layout {
    places: BTreeMap<Effect, usize>,
    /// Kind of spread of each variable; the overall level has none.
    pub(super) kinds: Vec<Option<usize>>,
    /// Number of variables that are not growers.
    pub(super) effects: usize,
    /// Power on each grower's marginal likelihood.
    pub(super) weights: Vec<f64>,
    /// The same before any cap.
    shares: Vec<f64>,
    caps: Caps,
    pub(super) trials: Vec<Trial>,
    /// Trials of each grower.
    pub(super) of_grower: Vec<Vec<usize>>,
    pub(super) arms: usize,
    pub(super) pattern: Pattern,
    /// Where the diagonal of each variable stands.
    pub(super) diagonal: Vec<usize>,
    /// Arms of each species and method.
    own: BTreeMap<[usize; 2], Vec<ArmPlace>>,
}

/// Where a species and method stands.
pub(super) struct CellPlace {
    /// Its effects that are seen, the overall level among them.
    pub(super) seen: Vec<usize>,
    /// Kinds of spreads of those that are not.
    pub(super) unseen: Vec<usize>,
    pub(super) own: Vec<ArmPlace>,
    /// Power on the likelihood of each own arm: its grower's share under the cap of one species and method.
    pub(super) own_weights: Vec<f64>,
}

/// Precisions of variables (of growers without their weight), and variances of trials and arms.
#[derive(Clone, Debug)]
pub(super) struct Prior {
    pub(super) precision: Vec<f64>,
    pub(super) trial: f64,
    pub(super) arm: f64,
}

/// A trial by what it holds: levels, pieces and successes of its arms.
type Content = Vec<([usize; 3], u32, u32)>;

impl Layout {
    pub(super) fn new(table: &ArmTable, caps: Caps) -> Self {
        let growers = contents(table);
        let cells = growers.iter().flat_map(|(_, trials)| trials.iter().flatten()).map(|arm| arm.0);
        let seen: BTreeSet<Effect> = cells.flat_map(effects).collect();
        let mut kinds: Vec<Option<usize>> =
            [None].into_iter().chain(seen.iter().map(|effect| Some(effect.0))).collect();
        let places: BTreeMap<Effect, usize> = seen.into_iter().zip(1..).collect();
        let effects = kinds.len();
        kinds.extend(growers.iter().map(|_| Some(GROWER)));
        let (mut trials, mut of_grower, mut own) = (Vec::new(), Vec::new(), BTreeMap::new());
        let mut arms = 0;
        for (grower, (_, contents)) in growers.iter().enumerate() {
            of_grower.push((trials.len()..trials.len() + contents.len()).collect());
            for content in contents {
                for (place, (levels, ..)) in content.iter().enumerate() {
                    own.entry([levels[1], levels[2]]).or_insert_with(Vec::new).push((trials.len(), place));
                }
                trials.push(trial(content, grower, effects, &places, arms));
                arms += content.len();
            }
        }
        let pattern = Pattern::new(kinds.len(), trials.iter().map(|trial| trial.touched.as_slice()));
        for trial in &mut trials {
            let pairs = trial.touched.iter().enumerate();
            let pairs = pairs.flat_map(|(i, a)| trial.touched[..=i].iter().map(move |b| (*a, *b)));
            trial.slots = pairs.map(|(a, b)| pattern.slot(a, b) as u32).collect();
        }
        let diagonal = (0..kinds.len()).map(|k| pattern.slot(k, k)).collect();
        let shares: Vec<f64> = growers.iter().map(|grower| grower.0).collect();
        let pieces = |trials: &[Content]| trials.iter().flatten().map(|arm| f64::from(arm.1)).sum::<f64>();
        let weights = growers.iter().map(|(share, trials)| capped(*share, caps.of_corpus, pieces(trials)));
        let weights = weights.collect();
        Self {
            places,
            kinds,
            effects,
            weights,
            shares,
            caps,
            trials,
            of_grower,
            arms,
            pattern,
            diagonal,
            own,
        }
    }

    /// The prior at these spreads; `tails` has by how much each grower's precision is lowered or raised.
    pub(super) fn prior(&self, spreads: &Spreads, tails: &[f64], options: &JointOptions) -> Prior {
        let variance = |kind: usize| spreads.sd[kind].powi(2);
        let of = |kind: &Option<usize>| kind.map_or(options.level_sd.powi(2), variance).recip();
        let mut precision: Vec<f64> = self.kinds.iter().map(of).collect();
        precision[self.effects..].iter_mut().zip(tails).for_each(|(value, tail)| *value *= tail);
        Prior { precision, trial: variance(TRIAL), arm: variance(ARM) }
    }

    pub(super) fn cell(&self, genus: usize, species: usize, method: usize) -> CellPlace {
        let (mut seen, mut unseen) = (vec![0], Vec::new());
        for effect in effects([genus, species, method]) {
            match self.places.get(&effect) {
                Some(place) => seen.push(*place),
                None => unseen.push(effect.0),
            }
        }
        self.place([species, method], seen, unseen)
    }

    fn place(&self, cell: [usize; 2], seen: Vec<usize>, unseen: Vec<usize>) -> CellPlace {
        let own = self.own.get(&cell).cloned().unwrap_or_default();
        let grower = |arm: &ArmPlace| self.trials[arm.0].grower;
        let mut pieces: BTreeMap<usize, f64> = BTreeMap::new();
        for arm in &own {
            *pieces.entry(grower(arm)).or_default() += self.trials[arm.0].arms[arm.1].started;
        }
        let weight = |arm| capped(self.shares[grower(arm)], self.caps.of_cell, pieces[&grower(arm)]);
        CellPlace { seen, unseen, own_weights: own.iter().map(weight).collect(), own }
    }

    /// The place of a species and method that was tried.
    pub(super) fn seen(&self, cell: [usize; 2]) -> CellPlace {
        let own = self.own.get(&cell).and_then(|own| own.first());
        let seen = own.map_or_else(
            || vec![0],
            |&(number, place)| {
                let trial = &self.trials[number];
                let terms = &trial.arms[place].terms;
                let terms = terms.iter().map(|term| trial.touched[*term]);
                terms.filter(|variable| *variable < self.effects).collect()
            },
        );
        self.place(cell, seen, Vec::new())
    }

    /// Species and methods that were tried.
    pub(super) fn tried(&self) -> impl Iterator<Item = [usize; 2]> {
        self.own.keys().copied()
    }
}

fn trial(
    content: &Content,
    grower: usize,
    growers_from: usize,
    places: &BTreeMap<Effect, usize>,
    first: usize,
) -> Trial {
    let variables = |levels: [usize; 3]| -> [usize; TERMS] {
        let [a, b, c, d, e] = effects(levels).map(|effect| places[&effect]);
        [0, a, b, c, d, e, growers_from + grower]
    };
    let all: BTreeSet<usize> = content.iter().flat_map(|arm| variables(arm.0)).collect();
    let touched: Vec<usize> = all.into_iter().collect();
    let local = |variable: usize| touched.binary_search(&variable).expect("all are listed");
    let arms = content.iter().zip(first..).map(|((levels, started, succeeded), place)| Arm {
        place,
        started: f64::from(*started),
        succeeded: f64::from(*succeeded),
        terms: variables(*levels).map(local),
    });
    let arms = arms.collect();
    Trial { grower, arms, touched, slots: Vec::new() }
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
