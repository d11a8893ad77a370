//! Which pots of different arms belong to one block, in the order in which a record lists them.
//!
//! Blocks, people and stock plants have no names in a record: the i-th pot of every arm is block i, and a block that lacks an
//! arm holds 0 of its pieces. Pots of one arm in one block are added up, as they are when they are compared.

use std::collections::{BTreeMap, BTreeSet};

use super::design::block_of;
use super::trial::{Arm, Replicate, Trial};

/// Most pots that a record lists of an arm.
const MOST: usize = 50;

/// Block, person and stock plant of a pot, as far as they vary in the trial.
type Key = (String, String, String);

/// Blocks of a trial.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Matched {
    blocks: usize,
    /// By number of the arm: the block of each of its pots.
    of: BTreeMap<u8, Vec<usize>>,
}

impl Matched {
    /// The blocks of a trial; `None` where no two arms share one, or there is but one.
    pub(super) fn of(trial: &Trial) -> Option<Self> {
        let keys: BTreeMap<u8, Vec<Key>> = trial
            .arms
            .iter()
            .map(|arm| (arm.number, (0..arm.replicates.len()).map(|place| key(trial, arm, place)).collect()))
            .collect();
        let mut all: Vec<&Key> = keys.values().flatten().collect();
        all.sort_by(|a, b| natural(&a.0).cmp(&natural(&b.0)).then(a.cmp(b)));
        all.dedup();
        let arms_of = |key: &Key| keys.values().filter(|own| own.contains(key)).count();
        let is_listed = trial.arms.iter().all(|arm| !arm.replicates.is_empty());
        if !is_listed || !(2..=MOST).contains(&all.len()) || all.iter().all(|key| arms_of(key) < 2) {
            return None;
        }
        let place = |key: &Key| all.iter().position(|other| *other == key).unwrap_or(0);
        let of = keys.iter().map(|(arm, own)| (*arm, own.iter().map(place).collect())).collect();
        Some(Self { blocks: all.len(), of })
    }

    /// A number of each pot of an arm, added up by block.
    pub(super) fn arranged(&self, arm: u8, pots: &[u16]) -> Vec<u16> {
        let mut out = vec![0_u16; self.blocks];
        for (block, n) in self.of.get(&arm).into_iter().flatten().zip(pots) {
            out[*block] = out[*block].saturating_add(*n);
        }
        out
    }
}

/// Numbers before what follows them, so that 2 comes before 10.
fn natural(block: &str) -> (usize, &str) {
    (block.len(), block)
}

fn key(trial: &Trial, arm: &Arm, place: usize) -> Key {
    let replicate = &arm.replicates[place];
    let block = block_of(trial, place, replicate).unwrap_or_default();
    (block, person(arm, replicate), stock_plant(arm, replicate))
}

fn person(arm: &Arm, replicate: &Replicate) -> String {
    replicate.operator.clone().or_else(|| arm.operator.clone()).unwrap_or_default()
}

fn stock_plant(arm: &Arm, replicate: &Replicate) -> String {
    replicate.stock_plant.clone().or_else(|| arm.stock_plant.clone()).unwrap_or_default()
}

/// Whether all arms were made by the same people, or from the same stock plants: then these are blocks, and set no arm apart.
pub(super) fn is_shared(trial: &Trial, what: &str) -> bool {
    let of = |arm: &Arm| -> BTreeSet<String> {
        let name = |replicate: &Replicate| match what {
            "operator" => person(arm, replicate),
            _ => stock_plant(arm, replicate),
        };
        arm.replicates.iter().map(name).collect()
    };
    let mut sets = trial.arms.iter().map(of);
    let first = sets.next().unwrap_or_default();
    !first.is_empty() && sets.all(|other| other == first)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::season::tests::two_arms;

    #[test]
    fn pots_in_rows_are_matched_by_their_place_and_a_missing_one_holds_nothing() {
        let mut trial = two_arms();
        assert_eq!(Matched::of(&trial), None);
        trial.is_blocked = true;
        trial.arms[1].replicates.pop();
        let matched = Matched::of(&trial).expect("two blocks hold both arms");
        assert_eq!(matched.arranged(1, &[4, 3, 2]), [4, 3, 2]);
        assert_eq!(matched.arranged(2, &[1, 2]), [1, 2, 0]);
    }

    #[test]
    fn people_who_made_both_arms_are_blocks_and_people_who_did_not_are_none() {
        let with = |names: [&str; 6]| {
            let mut trial = two_arms();
            let pots = trial.arms.iter_mut().flat_map(|arm| &mut arm.replicates);
            pots.zip(names).for_each(|(pot, name)| pot.operator = Some(name.to_owned()));
            trial
        };
        let crossed = with(["P", "P", "Q", "Q", "P", "Q"]);
        let matched = Matched::of(&crossed).expect("both made both");
        assert_eq!(matched.arranged(1, &[4, 3, 2]), [7, 2]);
        assert_eq!(matched.arranged(2, &[1, 2, 3]), [2, 4]);
        assert!(is_shared(&crossed, "operator"));
        let apart = with(["P", "P", "P", "Q", "Q", "Q"]);
        assert!(Matched::of(&apart).is_none() && !is_shared(&apart, "operator"));
    }
}
