//! From rows to strata, and from strata to growers as Laplace's method takes them.

use std::collections::{BTreeMap, BTreeSet};

use super::ShrunkOptions;
use super::gates::Gates;
use super::grid::Node;
use crate::laplace::{Block, LaplaceArm, Problem, Variances};
use crate::table::{ArmTable, CountedArm};

/// Kinds of a grower's own effects: of a stratum, and of a level.
const STRATUM: usize = 0;
const SLOPE: usize = 1;

/// Arms of one trial that differ in one facet alone; an arm of which not everything else is known stands by itself.
#[derive(Clone, Debug)]
pub(super) struct Stratum<'a> {
    pub(super) trial: usize,
    pub(super) grower: usize,
    pub(super) arms: Vec<(Option<usize>, &'a CountedArm)>,
}

/// The model of one facet.
pub(super) struct Layout<'a> {
    pub(super) facet: usize,
    pub(super) table: &'a ArmTable,
    /// Levels that stand beside another one in some stratum, in rising order: the first global effects.
    pub(super) levels: Vec<usize>,
    pub(super) problem: Problem,
    /// Whether a grower compared the same two levels in two trials, so that slopes are told from arms.
    pub(super) has_slopes: bool,
    pub(super) gates: Gates,
}

impl Stratum<'_> {
    /// The levels that stand beside each other: two or more, or none.
    pub(super) fn compared(&self) -> Vec<usize> {
        let levels: BTreeSet<usize> = self.arms.iter().filter_map(|(level, _)| *level).collect();
        if levels.len() > 1 { levels.into_iter().collect() } else { Vec::new() }
    }
}

fn strata(table: &ArmTable, facet: usize) -> Vec<Stratum<'_>> {
    let mut whole: BTreeMap<(usize, Vec<usize>), Stratum> = BTreeMap::new();
    let mut out = Vec::new();
    for row in table.counted() {
        let level = row.levels[facet];
        let others = row.levels.iter().enumerate().filter(|(k, _)| *k != facet).map(|(_, level)| *level);
        let one = Stratum { trial: row.trial, grower: row.grower, arms: vec![(level, row)] };
        match others.collect::<Option<Vec<usize>>>().filter(|_| level.is_some()) {
            None => out.push(one),
            Some(others) => {
                whole.entry((row.trial, others)).and_modify(|s| s.arms.push((level, row))).or_insert(one);
            }
        }
    }
    out.extend(whole.into_values());
    out
}

impl<'a> Layout<'a> {
    pub(super) fn new(table: &'a ArmTable, facet: usize) -> Self {
        let strata = strata(table, facet);
        let levels: BTreeSet<usize> = strata.iter().flat_map(Stratum::compared).collect();
        let levels: Vec<usize> = levels.into_iter().collect();
        let has_slopes = has_slopes(&strata);
        let problem = problem(table, &levels, &strata, has_slopes);
        let gates = Gates::new(table, facet, &strata);
        Self { facet, table, levels, problem, has_slopes, gates }
    }

    /// Variances at a node.
    pub(super) fn variances(&self, node: &Node, options: &ShrunkOptions) -> Variances {
        let mut global = vec![options.mean_sd.powi(2); self.problem.globals];
        global[..self.levels.len()].fill(node.level.powi(2));
        Variances { global, own: vec![node.stratum.powi(2), node.grower.powi(2)], arm: node.arm.powi(2) }
    }
}

/// Whether any grower has two trials with the same two levels.
fn has_slopes(strata: &[Stratum]) -> bool {
    let mut trials: BTreeMap<(usize, usize, usize), BTreeSet<usize>> = BTreeMap::new();
    for stratum in strata {
        let levels = stratum.compared();
        for (k, a) in levels.iter().enumerate() {
            for b in &levels[k + 1..] {
                trials.entry((stratum.grower, *a, *b)).or_default().insert(stratum.trial);
            }
        }
    }
    trials.values().any(|trials| trials.len() > 1)
}

/// A stratum by what it holds alone, so that names and order do not matter: its mean, and its arms.
type Content = (usize, Vec<(Option<usize>, u32, u32)>);

fn problem(table: &ArmTable, levels: &[usize], strata: &[Stratum], has_slopes: bool) -> Problem {
    // Sets of levels that stand beside each other, then single ones; each has a mean.
    let set = |stratum: &Stratum| {
        let compared = stratum.compared();
        if compared.is_empty() {
            (1, vec![stratum.arms[0].0])
        } else {
            (0, compared.into_iter().map(Some).collect())
        }
    };
    let sets: BTreeSet<(u8, Vec<Option<usize>>)> = strata.iter().map(set).collect();
    let mean: BTreeMap<_, usize> = sets.into_iter().zip(levels.len()..).collect();
    let mut growers: BTreeMap<usize, (f64, Vec<Content>)> = BTreeMap::new();
    for stratum in strata {
        let weight = table.weight(stratum.arms[0].1);
        let arms = stratum.arms.iter().map(|(level, row)| (*level, row.count.started, row.count.succeeded));
        let mut arms: Vec<_> = arms.collect();
        arms.sort_unstable();
        let of_grower = growers.entry(stratum.grower).or_insert_with(|| (weight, Vec::new()));
        of_grower.1.push((mean[&set(stratum)], arms));
    }
    let block = |(weight, mut contents): (f64, Vec<Content>)| {
        contents.sort_unstable();
        grower_block(weight, &contents, levels, has_slopes)
    };
    let mut blocks: Vec<Block> = growers.into_values().map(block).collect();
    blocks.sort_by(|a, b| a.partial_cmp(b).expect("counts and weights are numbers"));
    Problem { globals: levels.len() + mean.len(), blocks }
}

/// Whether arms of a stratum hold two levels or more.
fn compares(arms: &[(Option<usize>, u32, u32)]) -> bool {
    arms.iter().any(|arm| arm.0 != arms[0].0)
}

fn grower_block(weight: f64, contents: &[Content], levels: &[usize], has_slopes: bool) -> Block {
    let mut kinds = vec![STRATUM; contents.len()];
    let mut slopes: BTreeMap<usize, usize> = BTreeMap::new();
    if has_slopes {
        let compared = contents.iter().filter(|(_, arms)| compares(arms)).flat_map(|(_, arms)| arms);
        let own: BTreeSet<usize> = compared.filter_map(|arm| arm.0).collect();
        slopes.extend(own.into_iter().zip(contents.len()..));
        kinds.extend(slopes.values().map(|_| SLOPE));
    }
    let mut arms = Vec::new();
    for (stratum, (mean, counts)) in contents.iter().enumerate() {
        for (level, started, succeeded) in counts {
            // A stratum of one level has neither effect: what it says of a level is what its growers are like.
            let level = level.filter(|_| compares(counts));
            let place = level.and_then(|level| levels.binary_search(&level).ok());
            let slope = level.and_then(|level| slopes.get(&level).copied());
            arms.push(LaplaceArm {
                succeeded: f64::from(*succeeded),
                started: f64::from(*started),
                global: place.into_iter().chain([*mean]).collect(),
                own: [stratum].into_iter().chain(slope).collect(),
            });
        }
    }
    Block::new(arms, kinds, weight)
}
