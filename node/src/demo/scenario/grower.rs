//! The invented growers: where they are, how skilled, under which cover.

use propagule_protocol::{Place, SecretKey};

use super::crop::Cover;
use super::effects::SKILL_SD;
use super::region::{InventedRegion, REGIONS};
use super::stream::{Stream, bytes_for};

/// Growers whose hard water lets no mulberry root.
const HARD_WATER: [usize; 2] = [11, 23];
/// Growers with a vole in one winter bed.
const VOLES: [usize; 3] = [5, 18, 33];
/// Share of growers who keep poor results to themselves, when that is switched on.
const SILENT_SHARE: f64 = 0.15;

/// Who a grower is, before any trial.
#[derive(Clone, Debug)]
pub(super) struct Character {
    pub(super) number: usize,
    pub(super) region: &'static InventedRegion,
    pub(super) place: Place,
    pub(super) cover: Cover,
    pub(super) skill: f64,
    pub(super) hard_water: bool,
    pub(super) has_voles: bool,
    pub(super) keeps_poor_results: bool,
}

/// `g01`, `g02`, …
pub(super) fn id(number: usize) -> String {
    format!("g{number:02}")
}

pub(super) fn character(seed: u64, number: usize) -> Character {
    let mut stream = Stream::new(seed, &format!("grower {number}"));
    let region = &REGIONS[stream.weighted(&REGIONS.map(|region| region.weight))];
    let place = region.some_place(&mut stream);
    let cover = Cover::SHARES[stream.weighted(&Cover::SHARES.map(|(_, share)| share))].0;
    Character {
        number,
        region,
        place,
        cover,
        skill: stream.normal(SKILL_SD),
        hard_water: HARD_WATER.contains(&number),
        has_voles: VOLES.contains(&number),
        keeps_poor_results: stream.chance(SILENT_SHARE),
    }
}

/// The key under which a grower signs: derived from the seed, so it protects nothing and must stay in the
/// demonstration's own network.
pub(super) fn key(seed: u64, number: usize) -> SecretKey {
    SecretKey::from_bytes(&bytes_for(seed, &format!("key {number}")))
}
