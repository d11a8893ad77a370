//! How likely a trial of this size is to tell two rates apart, by the test that will judge it.

use std::collections::BTreeMap;

use super::pots::prior_spread;
use super::{CLEAR, PRIOR_DF};
use crate::Pair;
use crate::exact::{mantel_haenszel, stratified_two_sided};
use crate::planning::beta_binomial_law;
use crate::{Count, student};

/// Largest arm that is gone through; a larger one is taken as having so many pieces, in as many pots.
const MOST_PIECES: u32 = 120;
/// Outcomes of an arm rarer than this are left out.
const RARE: f64 = 1e-9;

/// Chance that two arms of `pots` pots with `pieces` each and rates `p_a`, `p_b` are told apart at 5 %, when two pieces of a
/// pot have correlation `icc` (beta-binomial pots, binomial at 0). Every outcome is gone through. Fewer than two pots an arm
/// are never told apart: 0.
///
/// An arm of more than 120 pieces is taken as one of about 120, so that the figure is then a lower bound.
///
/// ```
/// // Three pots of four: 69.6 in 100, and 74.3 if pots never differ, by every outcome gone through in Python.
/// let power = |icc| propagule_analysis::verdict::power_with_pots(3, 4, 0.2, 0.8, icc);
/// assert_eq!([0.1, 0.0].map(|icc| (1000.0 * power(icc)).round() as u32), [696, 743]);
/// ```
pub fn power_with_pots(pots: u32, pieces: u32, p_a: f64, p_b: f64, icc: f64) -> f64 {
    if pots < 2 || pieces == 0 {
        return 0.0;
    }
    let pots = pots.min(MOST_PIECES / 2);
    let pieces = pieces.min((MOST_PIECES / pots).max(1));
    let (first, second) = (Outcomes::of(pots, pieces, p_a, icc), Outcomes::of(pots, pieces, p_b, icc));
    let test = Test::of(pots, pieces);
    let mut power = 0.0;
    for (x, one) in &first.by_total {
        for (y, other) in &second.by_total {
            if one.mass * other.mass < RARE {
                continue;
            }
            if let Some(most) = test.most_spread(*x, *y) {
                power += one.chance_within(other, most);
            }
        }
    }
    power.min(1.0)
}

/// Most pots in an arm that [`pots_needed`] goes up to.
pub const MOST_POTS: u32 = 30;

/// Pots of `pieces` in each of two arms from which [`power_with_pots`] reaches `sure`; `None` above [`MOST_POTS`].
///
/// ```
/// use propagule_analysis::verdict::{pots_needed, power_with_pots};
///
/// assert_eq!(pots_needed(4, 0.2, 0.8, 0.1, 0.8), Some(4));
/// assert!(power_with_pots(4, 4, 0.2, 0.8, 0.1) >= 0.8 && power_with_pots(3, 4, 0.2, 0.8, 0.1) < 0.8);
/// assert_eq!(pots_needed(4, 0.2, 0.25, 0.1, 0.8), None);
/// ```
pub fn pots_needed(pieces: u32, p_a: f64, p_b: f64, icc: f64, sure: f64) -> Option<u32> {
    let is_enough = |pots: u32| power_with_pots(pots, pieces, p_a, p_b, icc) >= sure;
    // The more pots, the longer it takes: in growing steps from few, then in halved ones.
    let (mut low, mut high, mut step) = (1, 2, 1);
    while !is_enough(high) {
        if high == MOST_POTS {
            return None;
        }
        (low, high, step) = (high, (high + step).min(MOST_POTS), 2 * step);
    }
    while high - low > 1 {
        let middle = low.midpoint(high);
        if is_enough(middle) { high = middle } else { low = middle }
    }
    Some(high)
}

/// What judges two arms of so many pots.
struct Test {
    started: u32,
    /// Degrees of freedom of the pots themselves.
    own: f64,
    /// φ before any pot is seen.
    prior: f64,
    /// Square of the critical value of t.
    critical: f64,
}

impl Test {
    fn of(pots: u32, pieces: u32) -> Self {
        let own = f64::from(2 * (pots - 1));
        let critical = student::critical(CLEAR, own + PRIOR_DF).powi(2);
        Self { started: pots * pieces, own, prior: prior_spread(f64::from(pieces)), critical }
    }

    /// The largest Pearson X² of both arms together with which these totals are told apart; `None` if none is small
    /// enough.
    fn most_spread(&self, x: u32, y: u32) -> Option<f64> {
        let arm = |succeeded| Count { started: self.started, succeeded };
        let pair = [Pair { first: arm(x), second: arm(y) }];
        if x == y {
            return None;
        }
        let sums = mantel_haenszel(&pair);
        let phi = sums.excess.powi(2) / sums.variance / self.critical;
        let most = phi * (self.own + PRIOR_DF) - PRIOR_DF * self.prior;
        // The exact test takes longest and is asked last.
        (phi >= 1.0 && most >= 0.0 && stratified_two_sided(&pair) <= CLEAR).then_some(most)
    }
}

/// Spread of pots of an arm, given its total: X² with its chance, in rising order.
struct Spreads {
    mass: f64,
    rising: Vec<(f64, f64)>,
}

impl Spreads {
    /// Chance of both totals with X² of both arms together at most `most`.
    fn chance_within(&self, other: &Self, most: f64) -> f64 {
        let (mut sum, mut within, mut next) = (0.0, 0.0, 0);
        for (spread, chance) in self.rising.iter().rev() {
            while next < other.rising.len() && spread + other.rising[next].0 <= most + 1e-9 {
                within += other.rising[next].1;
                next += 1;
            }
            sum += chance * within;
        }
        sum
    }
}

struct Outcomes {
    by_total: BTreeMap<u32, Spreads>,
}

impl Outcomes {
    /// All totals of an arm with the spread of its pots, which the total and the sum of squares give.
    fn of(pots: u32, pieces: u32, rate: f64, icc: f64) -> Self {
        let mut sums = Sums::of_no_pot();
        let law = pot_law(pieces, rate, icc);
        for pot in 1..=pots {
            sums = sums.with_a_pot(&law, pot * pieces);
        }
        let mut by_total: BTreeMap<u32, Spreads> = BTreeMap::new();
        for (total, squares, chance) in sums.rising() {
            let arm = by_total.entry(total).or_insert(Spreads { mass: 0.0, rising: Vec::new() });
            arm.mass += chance;
            arm.rising.push((pearson(pots, pieces, total, squares), chance));
        }
        Self { by_total }
    }
}

/// Chances of totals and sums of squares of some pots.
struct Sums {
    /// A row of chances for each total, by the sum of squares.
    by_total: Vec<Vec<f64>>,
}

impl Sums {
    fn of_no_pot() -> Self {
        Self { by_total: vec![vec![1.0]] }
    }

    /// One more pot, with which the pots hold `most` pieces.
    fn with_a_pot(&self, law: &[f64], most: u32) -> Self {
        let mut by_total = vec![Vec::new(); most as usize + 1];
        for (total, row) in self.by_total.iter().enumerate() {
            for (k, chance) in law.iter().enumerate() {
                let into: &mut Vec<f64> = &mut by_total[total + k];
                into.resize(into.len().max(row.len() + k * k), 0.0);
                for (cell, before) in into[k * k..].iter_mut().zip(row) {
                    *cell += before * chance;
                }
            }
        }
        Self { by_total }
    }

    /// Total, sum of squares and chance; both rise.
    fn rising(&self) -> impl Iterator<Item = (u32, u32, f64)> {
        let rows = (0..).zip(&self.by_total);
        let cells = rows
            .flat_map(|(total, row)| (0..).zip(row).map(move |(squares, chance)| (total, squares, *chance)));
        cells.filter(|(_, _, chance)| *chance > RARE * RARE)
    }
}

/// X² of equal pots from their total and their sum of squares.
fn pearson(pots: u32, pieces: u32, total: u32, squares: u32) -> f64 {
    let (k, m, r) = (f64::from(pots), f64::from(pieces), f64::from(total));
    let rate = r / (k * m);
    if total == 0 || total == pots * pieces {
        return 0.0;
    }
    (f64::from(squares) - r * r / k) / (m * rate * (1.0 - rate))
}

/// P(0), …, P(n) of a pot.
fn pot_law(pieces: u32, rate: f64, icc: f64) -> Vec<f64> {
    let size = if icc > 1e-6 { 1.0 / icc - 1.0 } else { 1e6 };
    let rate = rate.clamp(1e-9, 1.0 - 1e-9);
    beta_binomial_law(pieces, rate * size, (1.0 - rate) * size)
}
