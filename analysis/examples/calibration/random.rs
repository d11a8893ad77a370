//! Seeded random numbers: the same data sets on every machine.

use std::f64::consts::TAU;

/// xoshiro256++ (Blackman & Vigna 2021, ACM Trans Math Softw 47:36), seeded by splitmix64.
pub(crate) struct Random {
    state: [u64; 4],
}

impl Random {
    /// The generator of one data set: `seed` names the cell, `set` the data set within it.
    pub(crate) fn new(seed: u64, set: u64) -> Self {
        let mut mixed = SplitMix(seed ^ SplitMix(set).next());
        Self { state: std::array::from_fn(|_| mixed.next()) }
    }

    fn next(&mut self) -> u64 {
        let s = &mut self.state;
        let result = s[0].wrapping_add(s[3]).rotate_left(23).wrapping_add(s[0]);
        let shifted = s[1] << 17;
        s[2] ^= s[0];
        s[3] ^= s[1];
        s[1] ^= s[2];
        s[0] ^= s[3];
        s[2] ^= shifted;
        s[3] = s[3].rotate_left(45);
        result
    }

    /// Between 0 and 1, both excluded.
    pub(crate) fn uniform(&mut self) -> f64 {
        ((self.next() >> 11) as f64 + 0.5) / (1u64 << 53) as f64
    }

    /// Whole number in `low..=high`.
    pub(crate) fn whole(&mut self, low: u32, high: u32) -> u32 {
        low + (self.uniform() * f64::from(high - low + 1)) as u32
    }

    /// Standard normal (Box & Muller 1958).
    pub(crate) fn normal(&mut self) -> f64 {
        let radius = (-2.0 * self.uniform().ln()).sqrt();
        radius * (TAU * self.uniform()).cos()
    }

    /// Standard logistic.
    pub(crate) fn logistic(&mut self) -> f64 {
        let p = self.uniform();
        (p / (1.0 - p)).ln()
    }

    /// Successes among `n` pieces at a rate `p`.
    pub(crate) fn binomial(&mut self, n: u32, p: f64) -> u32 {
        (0..n).map(|_| u32::from(self.uniform() < p)).sum()
    }
}

struct SplitMix(u64);

impl SplitMix {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let a = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let b = (a ^ (a >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        b ^ (b >> 31)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gives_the_numbers_of_the_reference_code() {
        // First outputs of the authors' C code from the state 1, 2, 3, 4 and of splitmix64 from the seed
        // 1234567, as other implementations list them; from memory.
        let mut random = Random { state: [1, 2, 3, 4] };
        let want = [41_943_041, 58_720_359, 3_588_806_011_781_223, 3_591_011_842_654_386];
        assert_eq!(want.map(|_| random.next()), want);
        let mut mixed = SplitMix(1_234_567);
        assert_eq!([mixed.next(), mixed.next()], [6_457_827_717_110_365_317, 3_203_168_211_198_807_973]);
    }

    #[test]
    fn draws_have_the_moments_of_their_laws() {
        let mut random = Random::new(1, 0);
        let mut moments = |draw: fn(&mut Random) -> f64| {
            let values: Vec<f64> = (0..200_000).map(|_| draw(&mut random)).collect();
            let mean = values.iter().sum::<f64>() / values.len() as f64;
            (mean, values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / values.len() as f64)
        };
        let near = |(mean, variance): (f64, f64), m: f64, v: f64| {
            assert!(
                (mean - m).abs() < 0.01 * v.sqrt() && (variance / v - 1.0).abs() < 0.02,
                "{mean} {variance}"
            );
        };
        near(moments(Random::normal), 0.0, 1.0);
        near(moments(Random::logistic), 0.0, std::f64::consts::PI.powi(2) / 3.0);
        near(moments(|r| f64::from(r.binomial(20, 0.3))), 6.0, 4.2);
        near(moments(|r| f64::from(r.whole(5, 50))), 27.5, (46.0 * 46.0 - 1.0) / 12.0);
    }
}
