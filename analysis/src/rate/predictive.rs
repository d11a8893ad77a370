//! What to expect of a grower not seen before.

use super::RateFit;
use crate::binomial::{binomial_at_least, ln_choose};
use crate::planning::smallest_number;

impl RateFit {
    /// P(Y = 0), …, P(Y = n): how many of `n` pieces succeed for a grower not seen before (a new trial of theirs).
    ///
    /// The n + 1 values sum to one.
    pub fn predictive(&self, n: u32) -> Vec<f64> {
        let total = f64::from(n);
        let coefficients: Vec<f64> = (0..=n).map(|y| ln_choose(total, f64::from(y))).collect();
        let mut out = vec![0.0; n as usize + 1];
        self.mixture.visit(total / 4.0, |p, q, weight| {
            for (y, (sum, coefficient)) in out.iter_mut().zip(&coefficients).enumerate() {
                let y = y as f64;
                *sum += weight * (coefficient + y * p + (total - y) * q).exp();
            }
        });
        for p in &mut out {
            *p = p.max(0.0);
        }
        out
    }

    /// P(Y >= y) of `n` pieces for a grower not seen before.
    pub fn predictive_at_least(&self, y: u32, n: u32) -> f64 {
        if y == 0 {
            return 1.0;
        }
        let mut sum = 0.0;
        self.mixture
            .visit(f64::from(n) / 4.0, |p, _, weight| sum += weight * binomial_at_least(y, n, p.exp()));
        sum.clamp(0.0, 1.0)
    }

    /// Smallest number of pieces to start, at most 2,000, so that at least `want` succeed with probability `sure`
    /// for a grower not seen before; `None` when 2,000 do not suffice.
    ///
    /// ```
    /// use propagule_analysis::{Count, Grower, rate};
    ///
    /// let growers = vec![Grower::new(vec![Count::new(20, 4)?], 1.0); 6];
    /// let fit = rate::fit(&growers, &rate::Options::default())?;
    /// let n = fit.number_to_start(5, 0.8).expect("a sensible number");
    /// assert!(fit.predictive_at_least(5, n) >= 0.8 && fit.predictive_at_least(5, n - 1) < 0.8);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn number_to_start(&self, want: u32, sure: f64) -> Option<u32> {
        smallest_number(want, sure, |n| self.predictive_at_least(want, n))
    }
}
