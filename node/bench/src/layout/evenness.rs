//! What a layout leaves uneven, cause by cause.

use std::collections::{BTreeMap, BTreeSet};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Cell, Layout, LayoutRequest};

/// One cause by which places or plants may be mistaken for a treatment.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Imbalance {
    /// Which.
    pub cause: Cause,
    /// Largest distance of a treatment's places from its even share, in places. For stock plants: how many are in one
    /// treatment only.
    pub deviation: f64,
    /// How it stands with that cause.
    pub found: Evenness,
}

/// Something by which places or plants may be mistaken for a treatment.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Cause {
    /// Places at the edge dry and warm more than others.
    Edge,
    /// One half of the bench may be better than the other.
    Halves,
    /// Blocks differ.
    Blocks,
    /// Stock plants differ.
    StockPlants,
}

/// How it stands with a cause.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "is", rename_all = "snake_case")]
pub enum Evenness {
    /// A treatment has more or fewer places somewhere than its share.
    Uneven {
        /// Number of the treatment.
        arm: u8,
        /// Its places.
        size: usize,
        /// Those of them that are there.
        found: usize,
        /// Those that would be its share.
        even: f64,
        /// Where.
        region: BenchPart,
    },
    /// Every place is at the edge.
    AllAtEdge,
    /// Treatments of one size, each with so many places at the edge.
    AtEdge {
        /// Of the treatment with fewest.
        least: usize,
        /// Of the treatment with most.
        most: usize,
    },
    /// Each treatment has its share of the edge, to within one place.
    EdgeShared,
    /// Each treatment has its share of each half, to within one place.
    HalvesShared,
    /// Each block holds each treatment equally often.
    BlocksEqual,
    /// Each block holds each treatment, as evenly as the numbers allow.
    BlocksNearlyEqual,
    /// There are blocks without a treatment.
    BlocksLackArms,
    /// Blocks were given, and a treatment is in one of them oftener than in another.
    BlocksDiffer {
        /// By how much at most.
        by: usize,
    },
    /// No stock plant is in one treatment only.
    StockPlantsSpread,
    /// Stock plants with two or more pots, all in one treatment.
    StockPlantsInOneArm {
        /// Name, and number of the treatment.
        plants: Vec<(String, u8)>,
    },
}

/// Part of a bench.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum BenchPart {
    /// At the edge.
    Edge,
    /// On the left.
    Left,
    /// On the right.
    Right,
    /// In the back half.
    Back,
    /// In the front half.
    Front,
}

/// What is uneven in a layout of this request, one entry for each cause that can matter.
///
/// With one treatment there is no comparison that could be misled, and the list is empty.
pub fn imbalance(layout: &Layout, request: &LayoutRequest) -> Vec<Imbalance> {
    let arms: BTreeSet<u8> = request.replicates.iter().map(|replicate| replicate.arm).collect();
    if arms.len() < 2 {
        return Vec::new();
    }
    let shares = Shares { layout, request };
    let is_blocked = layout.cells.iter().any(|cell| cell.block.is_some());
    [Some(shares.edge()), Some(shares.halves()), is_blocked.then(|| shares.blocks()), stock_plants(request)]
        .into_iter()
        .flatten()
        .collect()
}

struct Shares<'a> {
    layout: &'a Layout,
    request: &'a LayoutRequest,
}

/// Places of one treatment in one region.
#[derive(Clone, Copy)]
struct Share {
    arm: u8,
    size: usize,
    found: usize,
    even: f64,
}

impl Share {
    fn deviation(self) -> f64 {
        (self.found as f64 - self.even).abs()
    }

    fn uneven(self, region: BenchPart) -> Evenness {
        let Self { arm, size, found, even } = self;
        Evenness::Uneven { arm, size, found, even, region }
    }
}

impl Shares<'_> {
    fn of(&self, is_in: impl Fn(&Cell) -> bool) -> Vec<Share> {
        let mut counts: BTreeMap<u8, (usize, usize)> = BTreeMap::new();
        for (cell, replicate) in self.layout.cells.iter().filter_map(|cell| Some((cell, cell.replicate?))) {
            let (size, found) = counts.entry(self.request.replicates[replicate].arm).or_default();
            *size += 1;
            *found += usize::from(is_in(cell));
        }
        let (all, within) =
            counts.values().fold((0, 0), |(all, within), (size, found)| (all + size, within + found));
        let share = |(arm, (size, found)): (u8, (usize, usize))| {
            let even = size as f64 * within as f64 / all as f64;
            Share { arm, size, found, even }
        };
        counts.into_iter().map(share).collect()
    }

    fn edge(&self) -> Imbalance {
        let shares = self.of(|cell| cell.is_edge);
        let worst = worst(&shares);
        let (least, most) = (shares.iter().map(|s| s.found).min(), shares.iter().map(|s| s.found).max());
        let is_one_size = shares.iter().all(|share| share.size == shares[0].size);
        let found = if shares.iter().all(|share| share.found == share.size) {
            Evenness::AllAtEdge
        } else if worst.deviation() >= 1.0 {
            worst.uneven(BenchPart::Edge)
        } else {
            match (least, most) {
                (Some(least), Some(most)) if is_one_size => Evenness::AtEdge { least, most },
                _ => Evenness::EdgeShared,
            }
        };
        Imbalance { cause: Cause::Edge, deviation: worst.deviation(), found }
    }

    fn halves(&self) -> Imbalance {
        let Layout { rows, columns, .. } = *self.layout;
        let halves = [
            (self.of(|cell| 2 * cell.column + 1 < columns), BenchPart::Left),
            (self.of(|cell| 2 * cell.column + 1 > columns), BenchPart::Right),
            (self.of(|cell| 2 * cell.row + 1 < rows), BenchPart::Back),
            (self.of(|cell| 2 * cell.row + 1 > rows), BenchPart::Front),
        ];
        let (worst, region) = halves
            .iter()
            .map(|(shares, region)| (worst(shares), *region))
            .max_by(|(a, _), (b, _)| a.deviation().total_cmp(&b.deviation()))
            .expect("four halves");
        let found = if worst.deviation() < 1.0 { Evenness::HalvesShared } else { worst.uneven(region) };
        Imbalance { cause: Cause::Halves, deviation: worst.deviation(), found }
    }

    fn blocks(&self) -> Imbalance {
        let blocks: BTreeSet<u8> = self.layout.cells.iter().filter_map(|cell| cell.block).collect();
        let by_block: Vec<Vec<Share>> =
            blocks.iter().map(|block| self.of(|cell| cell.block == Some(*block))).collect();
        let spread = |arm: usize| {
            let found = by_block.iter().map(|shares| shares[arm].found);
            found.clone().max().unwrap_or(0) - found.min().unwrap_or(0)
        };
        let absent = by_block.iter().flatten().filter(|share| share.found == 0).count();
        let arms = by_block.first().map_or(0, Vec::len);
        let widest = (0..arms).map(spread).max().unwrap_or(0);
        let found = match (absent, widest) {
            (0, 0) => Evenness::BlocksEqual,
            (0, 1) => Evenness::BlocksNearlyEqual,
            (_, 0 | 1) => Evenness::BlocksLackArms,
            _ => Evenness::BlocksDiffer { by: widest },
        };
        Imbalance { cause: Cause::Blocks, deviation: widest as f64, found }
    }
}

fn worst(shares: &[Share]) -> Share {
    let worst = shares.iter().max_by(|a, b| a.deviation().total_cmp(&b.deviation()));
    *worst.expect("at least two arms")
}

/// Stock plants with two or more pots, all in one treatment: no layout can mend that.
fn stock_plants(request: &LayoutRequest) -> Option<Imbalance> {
    let mut arms: BTreeMap<&str, Vec<u8>> = BTreeMap::new();
    for replicate in &request.replicates {
        if let Some(plant) = replicate.stock_plant.as_deref() {
            arms.entry(plant).or_default().push(replicate.arm);
        }
    }
    let is_single_arm = |arms: &[u8]| arms.len() >= 2 && arms.iter().all(|arm| *arm == arms[0]);
    let plants: Vec<(String, u8)> = arms
        .iter()
        .filter(|(_, arms)| is_single_arm(arms))
        .map(|(plant, arms)| ((*plant).to_owned(), arms[0]))
        .collect();
    let deviation = plants.len() as f64;
    let found = if plants.is_empty() {
        Evenness::StockPlantsSpread
    } else {
        Evenness::StockPlantsInOneArm { plants }
    };
    (!arms.is_empty()).then_some(Imbalance { cause: Cause::StockPlants, deviation, found })
}
