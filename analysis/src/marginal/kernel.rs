//! Normal weights on the lattice around one node.

use super::Axis;
use crate::normal::HALF_LN_TWO_PI;

/// How many spreads the weights reach to either side: e^-46 of the peak.
pub(crate) const REACH: f64 = 9.6;

/// Trapezoid weights of N(mu, s²) on a lattice.
#[derive(Clone, Debug, Default)]
pub(crate) struct Kernel {
    /// Index of the first weight on the axis it was made for.
    pub(crate) start: usize,
    pub(crate) weights: Vec<f64>,
}

impl Kernel {
    /// Recomputes the weights for the node (`mu`, `s`) on `axis`, which must cover mu ± REACH s.
    pub(crate) fn set(&mut self, axis: &Axis, mu: f64, s: f64) {
        let step = axis.step();
        let low = ((mu - REACH * s) / step).ceil() as i64;
        let high = ((mu + REACH * s) / step).floor() as i64;
        let peak = ((mu / step).round() as i64).clamp(low, high.max(low));
        self.start = (low - axis.first()).max(0) as usize;
        let count = (high - low + 1).max(1) as usize;
        self.weights.clear();
        self.weights.resize(count, 0.0);
        let centre = (peak - low) as usize;
        let offset = (peak as f64 * step - mu) / s;
        let scale = (step / s).ln() - HALF_LN_TWO_PI;
        let top = (scale - 0.5 * offset * offset).exp();
        self.weights[centre] = top;
        let d = step / s;
        let decay = (-d * d).exp();
        let half = -0.5 * d * d;
        recurrence(self.weights[centre + 1..].iter_mut(), top, (half - offset * d).exp(), decay);
        recurrence(self.weights[..centre].iter_mut().rev(), top, (half + offset * d).exp(), decay);
    }
}

/// Consecutive values of a Gaussian on a lattice: each ratio is the one before times `decay`.
fn recurrence<'a>(cells: impl Iterator<Item = &'a mut f64>, top: f64, mut ratio: f64, decay: f64) {
    let mut value = top;
    for cell in cells {
        value *= ratio;
        ratio *= decay;
        *cell = value;
    }
}
