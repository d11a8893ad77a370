//! How unevenly edges, halves and stock plants are spread, and the search for an even order.

use std::collections::BTreeMap;

use super::LayoutRequest;
use super::blocks::Blocks;
use super::random::Random;

/// Shuffles of which the most even one is taken.
const SHUFFLES: usize = 64;

/// Random swaps tried for each replicate.
const SWAPS: usize = 30;

/// More sweeps over the edge than any bench needs.
const SWEEPS: usize = 50;

/// Weights of squared deviations from an even share. An edge is worth more than all else together.
const ARM_EDGE: f64 = 1e5;
const ARM_HALF: f64 = 10.0;
const STOCK_EDGE: f64 = 10.0;
const STOCK_BLOCK: f64 = 1.0;

/// Regions of the bench: the edge, four halves, then the blocks.
const EDGE: usize = 0;
const BLOCKS: usize = 5;

/// One place of the walk along the bench.
#[derive(Clone, Copy, Debug)]
pub(super) struct Place {
    pub(super) row: usize,
    pub(super) column: usize,
    pub(super) is_edge: bool,
    halves: [bool; 4],
}

impl Place {
    /// The place after so many steps of a walk that turns at the end of each row.
    pub(super) fn new(step: usize, columns: usize, count: usize) -> Self {
        let rows = count.div_ceil(columns);
        let turned =
            |row: usize, along: usize| if row.is_multiple_of(2) { along } else { columns - 1 - along };
        let row = step / columns;
        let column = turned(row, step % columns);
        let step_below = (row + 1) * columns + turned(row + 1, column);
        let is_last = step + 1 == count;
        let is_edge = row == 0 || column == 0 || column + 1 == columns || step_below >= count || is_last;
        let halves =
            [2 * column + 1 < columns, 2 * column + 1 > columns, 2 * row + 1 < rows, 2 * row + 1 > rows];
        Self { row, column, is_edge, halves }
    }
}

/// The even spread of groups (arms, stock plants) over regions, kept up to date under swaps.
struct Balance<'a> {
    places: &'a [Place],
    place_blocks: Vec<usize>,
    /// Arm, and stock plant where known, of each replicate.
    groups: Vec<(usize, Option<usize>)>,
    regions: usize,
    /// Deviation from the even share, by group and region.
    deviations: Vec<f64>,
    arms: usize,
    cost: f64,
}

impl<'a> Balance<'a> {
    /// The balance of an empty bench.
    fn new(request: &LayoutRequest, blocks: &Blocks, places: &'a [Place]) -> Self {
        let replicates = &request.replicates;
        let arms = numbered(replicates.iter().map(|replicate| replicate.arm));
        let stock = numbered(replicates.iter().filter_map(|replicate| replicate.stock_plant.as_deref()));
        let group = |replicate: &super::ReplicateSpec| {
            let plant = replicate.stock_plant.as_deref().map(|plant| arms.len() + stock[plant]);
            (arms[&replicate.arm], plant)
        };
        let mut place_blocks = blocks.of.clone();
        place_blocks.sort_unstable();
        let regions = BLOCKS + blocks.count;
        let groups: Vec<_> = replicates.iter().map(group).collect();
        let mut balance = Self {
            places,
            place_blocks,
            regions,
            deviations: vec![0.0; (arms.len() + stock.len()) * regions],
            arms: arms.len(),
            groups,
            cost: 0.0,
        };
        balance.expect_even_shares();
        balance
    }

    fn expect_even_shares(&mut self) {
        let count = self.places.len() as f64;
        let mut region_sizes = vec![0.0; self.regions];
        for at in 0..self.places.len() {
            self.regions_of(at).for_each(|region| region_sizes[region] += 1.0);
        }
        for (arm, plant) in self.groups.clone() {
            for group in std::iter::once(arm).chain(plant) {
                for (region, size) in region_sizes.iter().enumerate() {
                    self.deviations[group * self.regions + region] -= size / count;
                }
            }
        }
        self.cost = self.recomputed();
    }

    fn recomputed(&self) -> f64 {
        let weighed = |(at, deviation): (usize, &f64)| {
            self.weight(at / self.regions, at % self.regions) * deviation * deviation
        };
        self.deviations.iter().enumerate().map(weighed).sum()
    }

    fn regions_of(&self, at: usize) -> impl Iterator<Item = usize> + use<> {
        let place = self.places[at];
        let edge = place.is_edge.then_some(EDGE);
        let halves =
            place.halves.into_iter().enumerate().filter_map(|(half, is_in)| is_in.then_some(EDGE + 1 + half));
        edge.into_iter().chain(halves).chain([BLOCKS + self.place_blocks[at]])
    }

    fn weight(&self, group: usize, region: usize) -> f64 {
        match (group < self.arms, region) {
            (true, EDGE) => ARM_EDGE,
            (true, BLOCKS..) => 0.0,
            (true, _) => ARM_HALF,
            (false, EDGE) => STOCK_EDGE,
            (false, BLOCKS..) => STOCK_BLOCK,
            (false, _) => 0.0,
        }
    }

    /// Puts a replicate on a place (`by` 1), or takes it away (-1).
    fn shift(&mut self, replicate: usize, at: usize, by: f64) {
        let (arm, plant) = self.groups[replicate];
        for region in self.regions_of(at) {
            for group in std::iter::once(arm).chain(plant) {
                let weight = self.weight(group, region);
                let deviation = &mut self.deviations[group * self.regions + region];
                self.cost += weight * by * (2.0 * *deviation + by);
                *deviation += by;
            }
        }
    }

    fn fill(&mut self, order: &[usize], by: f64) {
        for (at, replicate) in order.iter().enumerate() {
            self.shift(*replicate, at, by);
        }
    }

    /// Swaps two places of the order, unless that is no better.
    fn swap_if_better(&mut self, order: &mut [usize], i: usize, j: usize) -> bool {
        let before = self.cost;
        self.swap(order, i, j);
        // Sums of squares of shares differ by far more than rounding does.
        let is_better = self.cost < before - 1e-6;
        if !is_better {
            self.swap(order, i, j);
        }
        is_better
    }

    /// Whether taking the first replicate from the edge and putting the second one there evens the edge out.
    fn is_edge_lopsided(&self, at_edge: usize, inside: usize) -> bool {
        let deviation = |replicate: usize| self.deviations[self.groups[replicate].0 * self.regions + EDGE];
        deviation(at_edge) - deviation(inside) > 1.0 + 1e-6
    }

    fn swap(&mut self, order: &mut [usize], i: usize, j: usize) {
        let (a, b) = (order[i], order[j]);
        self.shift(a, i, -1.0);
        self.shift(b, j, -1.0);
        self.shift(a, j, 1.0);
        self.shift(b, i, 1.0);
        order.swap(i, j);
    }
}

/// The replicates in the order of the places, blocks one after the other.
pub(super) fn search(
    request: &LayoutRequest,
    blocks: &Blocks,
    places: &[Place],
    random: &mut Random,
) -> Vec<usize> {
    if places.is_empty() {
        return Vec::new();
    }
    let mut balance = Balance::new(request, blocks, places);
    let mut best: Option<(f64, Vec<usize>)> = None;
    for _ in 0..SHUFFLES {
        let mut order: Vec<usize> = (0..places.len()).collect();
        random.shuffle(&mut order);
        order.sort_by_key(|replicate| blocks.of[*replicate]);
        balance.fill(&order, 1.0);
        if best.as_ref().is_none_or(|(cost, _)| balance.cost < *cost) {
            best = Some((balance.cost, order.clone()));
        }
        balance.fill(&order, -1.0);
    }
    let mut order = best.map(|(_, order)| order).unwrap_or_default();
    balance.fill(&order, 1.0);
    improve(request, blocks, &mut balance, &mut order, random);
    order
}

fn improve(
    request: &LayoutRequest,
    blocks: &Blocks,
    balance: &mut Balance<'_>,
    order: &mut [usize],
    random: &mut Random,
) {
    let arm = |replicate: usize| request.replicates[replicate].arm;
    let place_blocks = balance.place_blocks.clone();
    let may_swap = |order: &[usize], i: usize, j: usize| {
        place_blocks[i] == place_blocks[j] || (blocks.is_free && arm(order[i]) == arm(order[j]))
    };
    for _ in 0..SWAPS * order.len() {
        let (i, j) = (random.below(order.len()), random.below(order.len()));
        if may_swap(order, i, j) {
            balance.swap_if_better(order, i, j);
        }
    }
    let (edge, inside): (Vec<usize>, Vec<usize>) =
        (0..order.len()).partition(|at| balance.places[*at].is_edge);
    for _ in 0..SWEEPS {
        let mut is_better = false;
        for &i in &edge {
            for &j in &inside {
                let is_worth_it = balance.is_edge_lopsided(order[i], order[j]) && may_swap(order, i, j);
                is_better |= is_worth_it && balance.swap_if_better(order, i, j);
            }
        }
        if !is_better {
            break;
        }
    }
}

/// Distinct values with their number in order.
fn numbered<T: Ord>(values: impl Iterator<Item = T>) -> BTreeMap<T, usize> {
    let mut numbers: BTreeMap<T, usize> = values.map(|value| (value, 0)).collect();
    numbers.values_mut().enumerate().for_each(|(at, number)| *number = at);
    numbers
}
