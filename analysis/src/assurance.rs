//! Power averaged over what is not known of two rates (O'Hagan, Stevens & Campbell 2005, Pharm Stat 4:187).

use crate::Count;
use crate::exact::fisher_two_sided;
use crate::rate::RateLaw;

/// Chance that Fisher's two-sided test of two arms of `n` pieces gives p <= `alpha` and that the arm with the larger mean
/// rate shows more successes, when the rates follow `first` and `second` independently.
///
/// A verdict for the worse arm does not count: with two known rates this is the power, less the chance of a verdict the
/// wrong way round.
///
/// ```
/// use propagule_analysis::assurance_of_the_better;
/// use propagule_analysis::rate::RateLaw;
///
/// let (a, b) = (RateLaw::certain(0.2), RateLaw::certain(0.8));
/// // Known rates: the power of Fisher's test.
/// assert!((assurance_of_the_better(12, &a, &b, 0.05) - 0.81).abs() < 0.01);
/// ```
pub fn assurance_of_the_better(n: u32, first: &RateLaw, second: &RateLaw, alpha: f64) -> f64 {
    let (better, worse) = if first.mean() >= second.mean() { (first, second) } else { (second, first) };
    let (better, worse) = (better.counts(n), worse.counts(n));
    let count = |succeeded: u32| Count { started: n, succeeded };
    let mut sum = 0.0;
    for x in 1..=n {
        // The p value rises as the other arm comes nearer: the verdicts are all counts up to a last one.
        let verdicts = (0..x).take_while(|y| fisher_two_sided(count(x), count(*y)) <= alpha).count();
        sum += better[x as usize] * worse[..verdicts].iter().sum::<f64>();
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exact::fisher_power;

    #[test]
    fn with_known_rates_it_is_the_power() {
        for (n, a, b) in [(12, 0.2, 0.8), (12, 0.5, 0.75), (24, 0.1, 0.4)] {
            let found = assurance_of_the_better(n, &RateLaw::certain(a), &RateLaw::certain(b), 0.05);
            let power = fisher_power(n, n, a, b, 0.05);
            // Verdicts the wrong way round are rarer than 1 in 1,000 at these rates.
            assert!((found - power).abs() < 1e-3 && found <= power + 1e-12, "{n} {a} {b}: {found} {power}");
        }
        // By enumeration of all tables with exact integers in Python, outside this code: 0.8115.
        let known = assurance_of_the_better(12, &RateLaw::certain(0.2), &RateLaw::certain(0.8), 0.05);
        assert!((known - 0.8115).abs() < 1e-3, "{known}");
    }
}
