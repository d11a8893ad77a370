//! Random numbers that are the same on every machine.

/// `SplitMix64` (Steele, Lea and Flood 2014), with the constants of its public-domain reference code.
#[derive(Clone, Debug)]
pub(super) struct Random(u64);

impl Random {
    pub(super) fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// A number from 0 to `end` - 1; `end` is far below 2^64, so that the bias does not matter.
    pub(super) fn below(&mut self, end: usize) -> usize {
        ((u128::from(self.next()) * end as u128) >> 64) as usize
    }

    /// Fisher and Yates.
    pub(super) fn shuffle<T>(&mut self, items: &mut [T]) {
        for at in (1..items.len()).rev() {
            items.swap(at, self.below(at + 1));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_published_first_numbers() {
        // First outputs for seed 1234567, as quoted with the reference code in public collections of algorithms
        // (Rosetta Code, "Pseudo-random numbers/Splitmix64").
        let mut random = Random::new(1_234_567);
        let expected: [u64; 5] = [
            6_457_827_717_110_365_317,
            3_203_168_211_198_807_973,
            9_817_491_932_198_370_423,
            4_593_380_528_125_082_431,
            16_408_922_859_458_223_821,
        ];
        assert_eq!(expected.map(|_| random.next()), expected);
    }

    #[test]
    fn a_shuffle_keeps_everything_and_reaches_every_order() {
        let mut random = Random::new(1);
        let mut orders = std::collections::BTreeMap::new();
        for _ in 0..6_000 {
            let mut items = [1, 2, 3];
            random.shuffle(&mut items);
            *orders.entry(items).or_insert(0) += 1;
        }
        assert_eq!(orders.len(), 6);
        assert!(orders.values().all(|&times| (900..1_100).contains(&times)), "{orders:?}");
    }
}
