//! Random numbers split by purpose: each purpose hashes to a stream of its own, so that more growers or more draws
//! in one place never change another.

use sha2::{Digest, Sha256};

use super::stable::ln;

/// One stream of random numbers: SHA-256 over a key and a counter.
#[derive(Clone, Debug)]
pub(super) struct Stream {
    key: [u8; 32],
    blocks: u64,
    block: [u8; 32],
    used: usize,
}

/// 32 bytes that depend on the seed and the purpose alone.
pub(super) fn bytes_for(seed: u64, purpose: &str) -> [u8; 32] {
    Sha256::new()
        .chain_update(b"propagule-scenario/1")
        .chain_update(seed.to_be_bytes())
        .chain_update(purpose.as_bytes())
        .finalize()
        .into()
}

impl Stream {
    pub(super) fn new(seed: u64, purpose: &str) -> Self {
        Self { key: bytes_for(seed, purpose), blocks: 0, block: [0; 32], used: 32 }
    }

    fn next(&mut self) -> u64 {
        if self.used == 32 {
            let hash = Sha256::new().chain_update(self.key).chain_update(self.blocks.to_be_bytes());
            self.block = hash.finalize().into();
            self.blocks += 1;
            self.used = 0;
        }
        let eight =
            self.block[self.used..self.used + 8].try_into().expect("a quarter of a block is eight bytes");
        self.used += 8;
        u64::from_be_bytes(eight)
    }

    /// Uniform over 0 (included) to 1, on multiples of 2^-53.
    pub(super) fn uniform(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// True with probability `p`.
    pub(super) fn chance(&mut self, p: f64) -> bool {
        self.uniform() < p
    }

    /// One of 0 to `count` - 1.
    pub(super) fn below(&mut self, count: usize) -> usize {
        (self.uniform() * count as f64) as usize
    }

    /// One of `choices`.
    pub(super) fn choose<'a, T>(&mut self, choices: &'a [T]) -> &'a T {
        &choices[self.below(choices.len())]
    }

    /// Position in `weights`, each taken in proportion to its weight.
    pub(super) fn weighted(&mut self, weights: &[f64]) -> usize {
        let mut rest = self.uniform() * weights.iter().sum::<f64>();
        let last = weights.len() - 1;
        let passed = |weight: &f64| {
            rest -= weight;
            rest < 0.0
        };
        weights.iter().position(passed).unwrap_or(last)
    }

    /// Normal with mean 0, by the polar method (Marsaglia & Bray 1964, SIAM Rev 6:260).
    pub(super) fn normal(&mut self, sd: f64) -> f64 {
        loop {
            let (x, y) = (2.0 * self.uniform() - 1.0, 2.0 * self.uniform() - 1.0);
            let square = x * x + y * y;
            if square > 0.0 && square < 1.0 {
                return sd * x * (-2.0 * ln(square) / square).sqrt();
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stream_depends_on_seed_and_purpose_alone() {
        let draw = |seed, purpose| Stream::new(seed, purpose).next();
        assert_eq!(draw(1, "grower 1"), draw(1, "grower 1"));
        assert_ne!(draw(1, "grower 1"), draw(2, "grower 1"));
        assert_ne!(draw(1, "grower 1"), draw(1, "grower 2"));
    }

    #[test]
    fn normals_have_mean_spread_and_tails_of_a_normal() {
        let mut stream = Stream::new(1, "normals");
        let draws: Vec<f64> = (0..20_000).map(|_| stream.normal(2.0)).collect();
        let mean = draws.iter().sum::<f64>() / 20_000.0;
        let variance = draws.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / 20_000.0;
        // Four standard errors: 2/sqrt(20000) = 0.014 for the mean, 4 sqrt(2/20000) = 0.04 for the variance.
        assert!(mean.abs() < 0.057, "{mean}");
        assert!((variance - 4.0).abs() < 0.16, "{variance}");
        // 5 % lie beyond 1.96 standard deviations; standard error 0.15 %.
        let beyond = draws.iter().filter(|x| x.abs() > 3.92).count();
        assert!((880..=1120).contains(&beyond), "{beyond}");
    }

    #[test]
    fn choices_follow_their_weights() {
        let mut stream = Stream::new(1, "weights");
        let mut seen = [0; 3];
        (0..9000).for_each(|_| seen[stream.weighted(&[1.0, 0.0, 2.0])] += 1);
        assert_eq!(seen[1], 0);
        assert!((2800..=3200).contains(&seen[0]), "{seen:?}");
    }
}
