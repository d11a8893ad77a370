//! What the evidence can separate, whatever its amount: ranks of the design.
//!
//! A log odds ratio is estimable without a prior when it is a combination of rows of the design (Searle 1971, Linear
//! Models, section 5.4). Rows of all arms answer whether it is estimable at all; differences between the arms of one
//! grower, whether without comparing one grower with another.

use std::collections::BTreeSet;

use super::input::Layout;
use super::tried::Tried;
use super::{FacetGrower, FacetLevel};

/// Below this an entry is rounding error: rows hold small whole numbers.
const NOTHING: f64 = 1e-9;

/// A space of rows in reduced echelon form.
#[derive(Clone, Debug, Default)]
struct RowSpace {
    /// Pivot column and row, with 1 there and 0 in all other rows.
    rows: Vec<(usize, Vec<f64>)>,
}

impl RowSpace {
    /// What is left of a row when the space is taken away.
    fn remainder(&self, row: &[f64]) -> Vec<f64> {
        let mut left = row.to_vec();
        for (pivot, known) in &self.rows {
            let factor = left[*pivot];
            if factor.abs() > NOTHING {
                left.iter_mut().zip(known).for_each(|(value, k)| *value -= factor * k);
            }
        }
        left
    }

    fn holds(&self, row: &[f64]) -> bool {
        self.remainder(row).iter().all(|value| value.abs() <= NOTHING)
    }

    fn insert(&mut self, row: &[f64]) {
        let mut left = self.remainder(row);
        let Some(pivot) = left.iter().position(|value| value.abs() > NOTHING) else {
            return;
        };
        let scale = left[pivot];
        for value in &mut left {
            *value /= scale;
        }
        for (_, known) in &mut self.rows {
            let factor = known[pivot];
            known.iter_mut().zip(&left).for_each(|(value, l)| *value -= factor * l);
        }
        self.rows.push((pivot, left));
    }

    /// Columns that no row moves freely, each with the pivot columns it is tied to.
    fn ties(&self, columns: usize) -> Vec<Vec<usize>> {
        let pivots: BTreeSet<usize> = self.rows.iter().map(|row| row.0).collect();
        let free = (0..columns).filter(|column| !pivots.contains(column));
        let tie = |column: usize| {
            let tied = self.rows.iter().filter(|row| row.1[column].abs() > NOTHING).map(|row| row.0);
            tied.chain(std::iter::once(column)).collect()
        };
        free.map(tie).collect()
    }
}

/// Spaces spanned by arms, and by differences between arms of one grower.
#[derive(Clone, Debug)]
pub(super) struct Separable {
    all: RowSpace,
    within_growers: RowSpace,
    /// Groups of levels tied to each other, references left out.
    tied: Vec<Vec<FacetLevel>>,
}

impl Separable {
    pub(super) fn new(layout: &Layout, tried: &Tried, growers: &[FacetGrower]) -> Self {
        let mut all = RowSpace::default();
        tried.combinations.keys().for_each(|levels| all.insert(&row(layout, levels)));
        let mut within_growers = RowSpace::default();
        for grower in growers.iter().filter(|grower| grower.weight > 0.0) {
            let arms = grower.trials.iter().flatten().filter(|arm| arm.count.started > 0);
            let combinations: BTreeSet<&Vec<usize>> = arms.map(|arm| &arm.levels).collect();
            let mut rows = combinations.into_iter().map(|levels| row(layout, levels));
            let Some(first) = rows.next() else { continue };
            rows.for_each(|other| {
                let difference: Vec<f64> = other.iter().zip(&first).map(|(a, b)| a - b).collect();
                within_growers.insert(&difference);
            });
        }
        Self { all, within_growers, tied: ties(tried) }
    }

    /// Whether two levels of a facet can be told apart by evidence alone, and whether within growers.
    pub(super) fn contrast(&self, layout: &Layout, facet: usize, levels: [usize; 2]) -> (bool, bool) {
        let mut row = vec![0.0; layout.parameters];
        row[layout.place(facet, levels[0])] += 1.0;
        row[layout.place(facet, levels[1])] -= 1.0;
        (self.all.holds(&row), self.within_growers.holds(&row))
    }

    /// Whether the rate of a combination follows from evidence alone.
    pub(super) fn is_known(&self, layout: &Layout, levels: &[usize]) -> bool {
        self.all.holds(&row(layout, levels))
    }

    pub(super) fn aliases(&self) -> &[Vec<FacetLevel>] {
        &self.tied
    }
}

fn row(layout: &Layout, levels: &[usize]) -> Vec<f64> {
    let mut row = vec![0.0; layout.parameters];
    layout.places(levels).into_iter().for_each(|place| row[place] = 1.0);
    row
}

/// Ties among the levels tried, each facet's most tried one serving as reference, groups with a common level joined.
fn ties(tried: &Tried) -> Vec<Vec<FacetLevel>> {
    let mut columns = Vec::new();
    for (facet, supports) in tried.levels.iter().enumerate() {
        let base = tried.most(facet);
        let others = (0..supports.len()).filter(|level| *level != base && supports[*level].started > 0);
        columns.extend(others.map(|level| FacetLevel { facet, level }));
    }
    let mut space = RowSpace::default();
    for levels in tried.combinations.keys() {
        let held = |column: &FacetLevel| f64::from(u8::from(levels[column.facet] == column.level));
        let row: Vec<f64> = std::iter::once(1.0).chain(columns.iter().map(held)).collect();
        space.insert(&row);
    }
    let mut groups: Vec<BTreeSet<FacetLevel>> = Vec::new();
    for tie in space.ties(columns.len() + 1) {
        let mut joined: BTreeSet<FacetLevel> =
            tie.into_iter().filter(|column| *column > 0).map(|column| columns[column - 1]).collect();
        groups.retain(|group| {
            let apart = group.is_disjoint(&joined);
            if !apart {
                joined.extend(group);
            }
            apart
        });
        groups.push(joined);
    }
    groups.into_iter().map(|group| group.into_iter().collect()).collect()
}
