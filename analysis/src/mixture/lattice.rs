//! The distribution function at all points of a lattice at once.
//!
//! Steps that are halves of each other put the nodes of every layer on points of the finest, so that the same few values of the
//! sinc kernel's distribution function serve all of them.

use super::{Layer, Mixture};
use crate::marginal::halving_level_for;
use crate::sine_integral::sinc_cdf;

/// Points k × step for k in `first..first + count`; the step is a power of one half.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Lattice {
    pub(crate) step: f64,
    pub(crate) first: i64,
    pub(crate) count: usize,
}

impl Lattice {
    pub(crate) fn point(&self, index: usize) -> f64 {
        (self.first + index as i64) as f64 * self.step
    }
}

impl Mixture {
    /// P(parameter <= x) at every point.
    pub(crate) fn cdf_on(&self, lattice: &Lattice) -> Vec<f64> {
        let mut out = vec![0.0; lattice.count];
        let grains = self.grains.iter().map(|grain| {
            let (axis, weights) = grain.layer(halving_level_for, 0.0);
            Layer { axis, weights }
        });
        for layer in self.smooth_layers(halving_level_for, |s| 0.5 * s).into_iter().chain(grains) {
            layer.add_to(lattice, &mut out);
        }
        out
    }
}

impl Layer {
    fn add_to(&self, lattice: &Lattice, out: &mut [f64]) {
        if self.axis.step() < lattice.step {
            // Finer than the lattice, and therefore short.
            out.iter_mut().enumerate().for_each(|(k, sum)| *sum += self.cdf(lattice.point(k)));
            return;
        }
        let ratio = (self.axis.step() / lattice.step).round() as i64;
        let place = |node: usize| (self.axis.first() + node as i64) * ratio - lattice.first;
        let (first, last) = (place(0), place(self.axis.len() - 1));
        let within = |place: i64| place.clamp(0, out.len() as i64) as usize;
        let (begin, end) = (within(first), within(last + 1));
        let total: f64 = self.weights.iter().sum();
        out[end..].iter_mut().for_each(|sum| *sum += total);
        let out = &mut out[begin..end];
        // From the last node seen at the first point to the first node seen at the last.
        let low = begin as i64 - last;
        let kernel: Vec<f64> =
            (low..end as i64 - first).map(|away| sinc_cdf(away as f64 / ratio as f64)).collect();
        for (node, weight) in self.weights.iter().enumerate() {
            let from = (begin as i64 - place(node) - low) as usize;
            out.iter_mut().zip(&kernel[from..]).for_each(|(sum, share)| *sum += weight * share);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Means, spreads and shares, the widest and the narrowest among them.
    fn laws() -> impl Strategy<Value = Vec<(f64, f64, f64)>> {
        let law = (-20.0..20.0f64, -5.0..2.0f64, 0.01..1.0f64);
        prop::collection::vec(law.prop_map(|(mu, log, weight)| (mu, log.exp(), weight)), 1..12)
    }

    proptest! {
        #[test]
        fn all_points_at_once_are_as_one_by_one(laws in laws()) {
            let total: f64 = laws.iter().map(|law| law.2).sum();
            let shares: Vec<(f64, f64, f64)> = laws.into_iter().map(|(mu, s, w)| (mu, s, w / total)).collect();
            let lattice = Lattice { step: 0.03125, first: -512, count: 1025 };
            let mixture = Mixture::of_normals(shares.iter().copied());
            for (k, found) in mixture.cdf_on(&lattice).into_iter().enumerate() {
                let x = lattice.point(k);
                let direct: f64 = shares.iter().map(|(mu, s, w)| w * crate::normal::cdf((x - mu) / s)).sum();
                prop_assert!((found - direct).abs() < 2e-8, "{x}: {found} {direct}");
                prop_assert!((mixture.cdf(x) - direct).abs() < 2e-8, "{x}: {direct}");
            }
        }
    }
}
