//! Random numbers for state machines: of the system in a node, from a seed in tests and simulations.

use std::fmt::Debug;
use std::time::Duration;

/// A source of random numbers.
pub trait Dice: Debug + Send {
    /// The next number, any of them equally likely.
    fn roll(&mut self) -> u64;

    /// A number below `limit`; 0 when there is none.
    fn below(&mut self, limit: u64) -> u64 {
        // The high half of a wide product: its bias is below limit / 2^64.
        ((u128::from(self.roll()) * u128::from(limit)) >> 64) as u64
    }

    /// A time from the first to the second of `range`.
    fn between(&mut self, range: (Duration, Duration)) -> Duration {
        let span = range.1.saturating_sub(range.0).as_millis() as u64;
        range.0 + Duration::from_millis(self.below(span + 1))
    }
}

/// Numbers of the operating system.
#[derive(Clone, Copy, Debug, Default)]
pub struct SystemDice;

impl Dice for SystemDice {
    fn roll(&mut self) -> u64 {
        // Without random numbers nothing is secret here; the greatest waits are then the safe choice.
        getrandom::u64().unwrap_or(u64::MAX)
    }
}

/// The same numbers in every run (`SplitMix64`: Steele, Lea and Flood 2014, constants from memory).
#[derive(Clone, Copy, Debug)]
pub struct SeededDice(pub u64);

impl Dice for SeededDice {
    fn roll(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_stay_in_their_range_and_reach_both_ends() {
        let mut dice = SeededDice(1);
        let rolled: Vec<u64> = (0..400).map(|_| dice.below(7)).collect();
        assert_eq!((rolled.iter().min(), rolled.iter().max()), (Some(&0), Some(&6)));
        assert_eq!(dice.below(0), 0);
        let range = (Duration::from_millis(5), Duration::from_millis(6));
        let waits: Vec<Duration> = (0..50).map(|_| dice.between(range)).collect();
        assert_eq!((waits.iter().min(), waits.iter().max()), (Some(&range.0), Some(&range.1)));
    }
}
