//! What a layout leaves uneven, cause by cause.

use std::collections::{BTreeMap, BTreeSet};

use super::{Cell, Layout, LayoutRequest};

/// Stock plants named one by one before the rest is counted.
const NAMED: usize = 3;

/// One cause by which places or plants may be mistaken for a treatment.
#[derive(Clone, Debug, PartialEq)]
pub struct Imbalance {
    /// `edge`, `halves`, `blocks` or `stock plants`.
    pub cause: &'static str,
    /// Largest distance of an arm's places from its even share, in places. For stock plants: how many are in one
    /// arm only.
    pub deviation: f64,
    /// The same in a sentence.
    pub words: String,
}

/// What is uneven in a layout of this request, one entry for each cause that can matter.
///
/// With one arm there is no comparison that could be misled, and the list is empty.
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

/// Places of one arm in one region.
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
        let words = if shares.iter().all(|share| share.found == share.size) {
            "Every place is at the edge.".to_owned()
        } else if worst.deviation() >= 1.0 {
            uneven(worst, "at the edge")
        } else {
            match (least, most) {
                (Some(least), Some(most)) if is_one_size && least == most => {
                    format!("Each arm has {} at the edge.", places(least))
                }
                (Some(least), Some(most)) if is_one_size => {
                    format!("Each arm has {least} or {} at the edge.", places(most))
                }
                _ => "Each arm has its share of places at the edge, to within one.".to_owned(),
            }
        };
        Imbalance { cause: "edge", deviation: worst.deviation(), words }
    }

    fn halves(&self) -> Imbalance {
        let Layout { rows, columns, .. } = *self.layout;
        let halves = [
            (self.of(|cell| 2 * cell.column + 1 < columns), "on the left"),
            (self.of(|cell| 2 * cell.column + 1 > columns), "on the right"),
            (self.of(|cell| 2 * cell.row + 1 < rows), "in the back half"),
            (self.of(|cell| 2 * cell.row + 1 > rows), "in the front half"),
        ];
        let (worst, place) = halves
            .iter()
            .map(|(shares, place)| (worst(shares), place))
            .max_by(|(a, _), (b, _)| a.deviation().total_cmp(&b.deviation()))
            .expect("four halves");
        let words = if worst.deviation() < 1.0 {
            "Each half of the bench holds each arm's share, to within one place.".to_owned()
        } else {
            uneven(worst, place)
        };
        Imbalance { cause: "halves", deviation: worst.deviation(), words }
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
        let words = match (absent, widest) {
            (0, 0) => "Each block holds each arm equally often.".to_owned(),
            (0, 1) => "Each block holds each arm, as evenly as the numbers allow.".to_owned(),
            (_, 0 | 1) => "Not every block holds every arm: there are too few of some.".to_owned(),
            _ => format!(
                "Blocks as they were given: the number of an arm differs by up to {widest} between them."
            ),
        };
        Imbalance { cause: "blocks", deviation: widest as f64, words }
    }
}

fn worst(shares: &[Share]) -> Share {
    let worst = shares.iter().max_by(|a, b| a.deviation().total_cmp(&b.deviation()));
    *worst.expect("at least two arms")
}

fn uneven(share: Share, place: &str) -> String {
    let Share { arm, size, found, even } = share;
    format!("Arm {arm} has {found} of its {} {place}; an even share would be {even:.1}.", places(size))
}

fn places(count: usize) -> String {
    if count == 1 { "1 place".to_owned() } else { format!("{count} places") }
}

/// Stock plants with two or more replicates, all in one arm: no layout can mend that.
fn stock_plants(request: &LayoutRequest) -> Option<Imbalance> {
    let mut arms: BTreeMap<&str, Vec<u8>> = BTreeMap::new();
    for replicate in &request.replicates {
        if let Some(plant) = replicate.stock_plant.as_deref() {
            arms.entry(plant).or_default().push(replicate.arm);
        }
    }
    let is_single_arm = |arms: &[u8]| arms.len() >= 2 && arms.iter().all(|arm| *arm == arms[0]);
    let single: Vec<String> = arms
        .iter()
        .filter(|(_, arms)| is_single_arm(arms))
        .map(|(plant, arms)| format!("{plant} (arm {})", arms[0]))
        .collect();
    let words = match single.len() {
        0 => "No stock plant stands in one arm only with all its replicates.".to_owned(),
        1 => {
            format!("Stock plant {} is in one arm only, so that plant and treatment are mixed up.", single[0])
        }
        count => {
            let more = if count > NAMED { format!(" and {} more", count - NAMED) } else { String::new() };
            let named = single[..count.min(NAMED)].join(", ");
            format!(
                "Stock plants {named}{more} are in one arm only, so that plant and treatment are mixed up."
            )
        }
    };
    (!arms.is_empty()).then_some(Imbalance { cause: "stock plants", deviation: single.len() as f64, words })
}
