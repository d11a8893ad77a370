//! Which block a replicate stands in.

use std::collections::{BTreeMap, BTreeSet};

use super::LayoutRequest;
use super::random::Random;

/// The block of each replicate.
#[derive(Clone, Debug)]
pub(super) struct Blocks {
    /// For each replicate, its block's place in the row of blocks.
    pub(super) of: Vec<usize>,
    /// How many there are; one where the bench is not blocked.
    pub(super) count: usize,
    /// Whether a replicate may change its block with another of its arm.
    pub(super) is_free: bool,
    numbers: Option<Vec<u8>>,
}

impl Blocks {
    /// The number shown for the block of a replicate.
    pub(super) fn number_of(&self, replicate: usize) -> Option<u8> {
        self.numbers.as_ref().map(|numbers| numbers[self.of[replicate]])
    }
}

/// Spreads each arm over the blocks as evenly as the numbers allow. Blocks that were given stay.
pub(super) fn assign(request: &LayoutRequest, random: &mut Random) -> Blocks {
    let replicates = &request.replicates;
    if !request.is_blocked {
        return Blocks { of: vec![0; replicates.len()], count: 1, is_free: false, numbers: None };
    }
    let given: BTreeSet<u8> = replicates.iter().filter_map(|replicate| replicate.block).collect();
    let numbers: Vec<u8> =
        if given.is_empty() { (1..=fitting(request)).collect() } else { given.iter().copied().collect() };
    let mut filling = Filling { sizes: vec![0; numbers.len()], arms: BTreeMap::new() };
    let mut of = vec![0; replicates.len()];
    let mut open = Vec::new();
    for (at, replicate) in replicates.iter().enumerate() {
        match replicate.block.and_then(|block| numbers.iter().position(|number| *number == block)) {
            Some(block) => {
                of[at] = block;
                filling.add(replicate.arm, block);
            }
            None => open.push(at),
        }
    }
    random.shuffle(&mut open);
    open.sort_by_key(|at| replicates[*at].arm);
    for at in open {
        let arm = replicates[at].arm;
        of[at] = filling.emptiest(arm, random);
        filling.add(arm, of[at]);
    }
    Blocks { of, count: numbers.len(), is_free: given.is_empty(), numbers: Some(numbers) }
}

/// As many blocks as the scarcest arm of two or more replicates has.
fn fitting(request: &LayoutRequest) -> u8 {
    let mut sizes: BTreeMap<u8, u8> = BTreeMap::new();
    for replicate in &request.replicates {
        let size = sizes.entry(replicate.arm).or_default();
        *size = size.saturating_add(1);
    }
    sizes.into_values().filter(|size| *size >= 2).min().unwrap_or(1)
}

struct Filling {
    sizes: Vec<usize>,
    arms: BTreeMap<(u8, usize), usize>,
}

impl Filling {
    fn add(&mut self, arm: u8, block: usize) {
        self.sizes[block] += 1;
        *self.arms.entry((arm, block)).or_default() += 1;
    }

    /// The block with fewest of the arm, then fewest of all, then by chance.
    fn emptiest(&self, arm: u8, random: &mut Random) -> usize {
        let fullness = |block: usize| (self.arms.get(&(arm, block)).copied().unwrap_or(0), self.sizes[block]);
        let least = (0..self.sizes.len()).map(fullness).min();
        let tied: Vec<usize> =
            (0..self.sizes.len()).filter(|block| Some(fullness(*block)) == least).collect();
        tied[random.below(tied.len())]
    }
}
