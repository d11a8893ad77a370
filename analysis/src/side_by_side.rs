//! Two methods side by side in one trial: what it would show, and what it is worth.
//!
//! An arm's log odds are m + c + A: the average grower's log odds of its method, what both arms share of grower and trial, and
//! the arm's own. What is known of m is normal.

use crate::Count;
use crate::exact::fisher_two_sided;
use crate::gauss_hermite::gauss_hermite;
use crate::logit::logistic;
use crate::normal;
use crate::rate::RateLaw;

/// Nodes of what both arms share, and of what each has of its own.
const NODES: usize = 24;

/// How two methods' arms in one trial hang together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SharedTrial {
    /// Correlation of what is known of both methods' log odds.
    pub correlation: f64,
    /// Standard deviation of what both arms share: grower and trial.
    pub shared_sd: f64,
    /// Standard deviation of each arm's own.
    pub arm_sd: f64,
}

/// What is known of a method: its log odds, and the rate averaged over growers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KnownRate {
    /// Mean of the log odds.
    pub log_odds_mean: f64,
    /// Their standard deviation.
    pub log_odds_sd: f64,
    /// Mean rate.
    pub rate: f64,
}

/// A trial of two methods that is not made yet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SideBySide {
    /// The methods.
    pub methods: [KnownRate; 2],
    /// What their arms share.
    pub trial: SharedTrial,
}

impl SideBySide {
    /// Chance that Fisher's two-sided test of two arms of `n` pieces gives p <= `alpha` and that the arm with the larger mean rate
    /// shows more successes (assurance: O'Hagan, Stevens & Campbell 2005, Pharm Stat 4:187).
    ///
    /// ```
    /// use propagule_analysis::{KnownRate, SharedTrial, SideBySide};
    ///
    /// let known = |rate: f64| KnownRate { log_odds_mean: (rate / (1.0 - rate)).ln(), log_odds_sd: 0.0, rate };
    /// let trial = SharedTrial { correlation: 0.0, shared_sd: 0.8, arm_sd: 0.3 };
    /// let trial = SideBySide { methods: [known(0.2), known(0.4)], trial };
    /// assert!((trial.assurance(24, 0.05) - 0.25).abs() < 0.005);
    /// ```
    pub fn assurance(&self, n: u32, alpha: f64) -> f64 {
        let [first, second] = self.methods;
        let (better, worse) = if first.rate >= second.rate { (first, second) } else { (second, first) };
        let verdicts = verdicts(n, alpha);
        let SharedTrial { correlation, shared_sd, arm_sd } = self.trial;
        let sd = |method: KnownRate| method.log_odds_sd.hypot(shared_sd).hypot(arm_sd);
        let (better_sd, worse_sd) = (sd(better), sd(worse));
        let together = correlation * better.log_odds_sd * worse.log_odds_sd + shared_sd * shared_sd;
        let shared = if better_sd * worse_sd > 0.0 { together / (better_sd * worse_sd) } else { 0.0 };
        let (root, left) = (shared.abs().sqrt(), (1.0 - shared.abs()).max(0.0).sqrt());
        let counts = |method: KnownRate, sd: f64, moved: f64| {
            counts(n, method.log_odds_mean + sd * root * moved, sd * left)
        };
        let at = |(z, weight): &(f64, f64)| {
            let higher = counts(better, better_sd, *z);
            let below = sums(&counts(worse, worse_sd, z * shared.signum()));
            let found = higher.iter().zip(&verdicts).map(|(chance, few)| chance * below[*few]);
            weight * found.sum::<f64>()
        };
        gauss_hermite(NODES).iter().map(at).sum()
    }

    /// By how much a trial of `n` pieces of each is expected to raise the rate afterwards, when the first method is in use now and
    /// whichever does better is used from then on: 0.02 is two more of every 100.
    ///
    /// The difference's standard deviation of the mean that the trial will leave is V / √(V + e) on the scale of log odds, V being
    /// its variance now and e what the trial's pieces and arms add; arms differ from grower to grower by `varies_sd` as well.
    pub fn worth(&self, n: u32, varies_sd: f64) -> f64 {
        let [in_use, other] = self.methods;
        let [first, second] = [in_use.log_odds_sd, other.log_odds_sd];
        let variance = first * first + second * second - 2.0 * self.trial.correlation * first * second;
        if variance <= 0.0 || n == 0 {
            return (other.rate - in_use.rate).max(0.0);
        }
        let of_pieces = |rate: f64| (f64::from(n) * (rate * (1.0 - rate)).max(f64::MIN_POSITIVE)).recip();
        let of_arms = 2.0 * (self.trial.arm_sd.powi(2) + varies_sd.powi(2));
        let noise = of_pieces(in_use.rate) + of_pieces(other.rate) + of_arms;
        let middle = 0.5 * (in_use.rate + other.rate);
        expected_gain(
            other.rate - in_use.rate,
            middle * (1.0 - middle) * variance / (variance + noise).sqrt(),
        )
    }
}

/// What is gained on average where another method, expected to be better by `difference` than the one in use, moves by a normal step of
/// `sd` and is taken if it is then the better: the mean of what of it lies above zero.
///
/// ```
/// use propagule_analysis::expected_gain;
///
/// // Five points behind, and a trial that moves it by ten.
/// assert!((expected_gain(-0.05, 0.1) - 0.0198).abs() < 5e-5);
/// // As far ahead: the five points are gained, and what the trial guards against.
/// assert!((expected_gain(0.05, 0.1) - 0.0698).abs() < 5e-5);
/// ```
pub fn expected_gain(difference: f64, sd: f64) -> f64 {
    if sd <= 0.0 {
        return difference.max(0.0);
    }
    let z = difference / sd;
    sd * (normal::density(z) + z * normal::cdf(z))
}

/// For each count of the better arm, up to how many of the other arm the test still shows it.
fn verdicts(n: u32, alpha: f64) -> Vec<usize> {
    let count = |succeeded: u32| Count { started: n, succeeded };
    let mut few = 0;
    // The more succeed in one arm the more may in the other, so each search begins where the last one ended.
    let found = (0..=n).map(|x| {
        while few < x && fisher_two_sided(count(x), count(few)) <= alpha {
            few += 1;
        }
        few as usize
    });
    found.collect()
}

/// Law of the number of successes where the log odds are normal.
fn counts(n: u32, mean: f64, sd: f64) -> Vec<f64> {
    let nodes = gauss_hermite(if sd > 0.0 { NODES } else { 1 });
    RateLaw::new(nodes.iter().map(|(z, weight)| (logistic(mean + sd * z), *weight)).collect()).counts(n)
}

/// Chances of fewer than 0, 1, 2 and so on.
fn sums(counts: &[f64]) -> Vec<f64> {
    let running = counts.iter().scan(0.0, |sum, chance| {
        *sum += chance;
        Some(*sum)
    });
    [0.0].into_iter().chain(running).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exact::fisher_power;

    fn known(rate: f64, log_odds_sd: f64) -> KnownRate {
        KnownRate { log_odds_mean: (rate / (1.0 - rate)).ln(), log_odds_sd, rate }
    }

    fn trial(rates: [f64; 2], sd: f64, (correlation, shared_sd, arm_sd): (f64, f64, f64)) -> SideBySide {
        let trial = SharedTrial { correlation, shared_sd, arm_sd };
        SideBySide { methods: rates.map(|rate| known(rate, sd)), trial }
    }

    #[test]
    fn with_known_rates_it_is_the_power() {
        for (n, a, b) in [(12, 0.2, 0.8), (12, 0.5, 0.75), (24, 0.1, 0.4)] {
            let found = trial([a, b], 0.0, (0.0, 0.0, 0.0)).assurance(n, 0.05);
            let power = fisher_power(n, n, a, b, 0.05);
            // Verdicts the wrong way round are rarer than 1 in 1,000 at these rates.
            assert!((found - power).abs() < 1e-3 && found <= power + 1e-12, "{n} {a} {b}: {found} {power}");
        }
        // By enumeration of all tables with exact integers in Python, outside this code: 0.8115.
        let known = trial([0.2, 0.8], 0.0, (0.0, 0.0, 0.0)).assurance(12, 0.05);
        assert!((known - 0.8115).abs() < 1e-3, "{known}");
    }

    #[test]
    fn a_grower_and_a_trial_that_are_shared_are_worked_out_as_in_the_design() {
        // Worked for the design by an integral outside this code: 0.2518 the right way round.
        let found = trial([0.2, 0.4], 0.0, (0.0, 0.8, 0.3)).assurance(24, 0.05);
        assert!((found - 0.2518).abs() < 2e-4, "{found}");
        // Independent growers would show it more often, the first design's 0.3895: a shared one takes no part in the difference.
        let parted = trial([0.2, 0.4], 0.8, (0.0, 0.0, 0.3)).assurance(24, 0.05);
        assert!(parted > found + 0.05, "{parted}");
    }

    #[test]
    fn what_is_known_together_is_as_what_is_shared() {
        let shared = trial([0.2, 0.4], 0.0, (0.0, 0.7, 0.3)).assurance(20, 0.05);
        let known = trial([0.2, 0.4], 0.7, (1.0, 0.0, 0.3)).assurance(20, 0.05);
        assert!((shared - known).abs() < 1e-9, "{shared} {known}");
        let against = trial([0.2, 0.4], 0.7, (-1.0, 0.0, 0.3)).assurance(20, 0.05);
        assert!(against > known, "{against}");
    }

    #[test]
    fn a_trial_is_worth_more_the_less_is_known_and_the_larger_it_is() {
        let worth = |sd: f64, n: u32, rates: [f64; 2]| trial(rates, sd, (0.0, 0.5, 0.3)).worth(n, 0.4);
        assert!(worth(1.0, 24, [0.4, 0.3]) > worth(0.5, 24, [0.4, 0.3]));
        assert!(worth(1.0, 48, [0.4, 0.3]) > worth(1.0, 12, [0.4, 0.3]));
        assert!(worth(1.0, 24, [0.4, 0.35]) > worth(1.0, 24, [0.4, 0.2]));
        let ahead = worth(1.0, 24, [0.3, 0.4]) - worth(1.0, 24, [0.4, 0.3]);
        assert!((ahead - 0.1).abs() < 1e-12, "what is expected to be better gains that as well: {ahead}");
        for none in [
            worth(0.0, 24, [0.4, 0.3]),
            worth(1.0, 0, [0.4, 0.3]),
            trial([0.4, 0.3], 1.0, (1.0, 0.5, 0.3)).worth(24, 0.4),
        ] {
            assert!(none.abs() < 1e-12, "{none}");
        }
        // With nothing to blur it the whole of what is not known is seen: E max(0, N(d, s²)) of equal rates is s φ(0).
        let sure = SideBySide {
            trial: SharedTrial { correlation: 0.0, shared_sd: 0.0, arm_sd: 0.0 },
            ..trial([0.5, 0.5], 0.1, (0.0, 0.0, 0.0))
        };
        let whole = 0.25 * 0.02_f64.sqrt() * 0.398_942_28;
        assert!((sure.worth(u32::MAX, 0.0) - whole).abs() < 1e-6);
    }
}
