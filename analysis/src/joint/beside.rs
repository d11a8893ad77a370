//! Two methods of one species in one trial: how what is known of them hangs together, and what the trial's arms share.

use super::layout::CellPlace;
use super::moments::Moments;
use super::spreads::{ARM, Spreads};
use super::{JointFit, Node};
use crate::SharedTrial;
use crate::matrix::in_lanes;

/// Kinds of effects that all methods of a species have in common: its genus and itself.
const OF_SPECIES: std::ops::Range<usize> = 0..2;

/// Means and covariances of two log odds.
struct Pair {
    means: [f64; 2],
    variances: [f64; 2],
    covariance: f64,
}

impl JointFit {
    /// How two methods of a species stand beside each other: their log odds are correlated where they rest on the same relatives and
    /// trials, and the arms of one trial share its grower.
    pub fn beside(&self, [genus, species]: [usize; 2], methods: [usize; 2]) -> SharedTrial {
        let places = methods.map(|method| self.layout.cell(genus, species, method));
        let nodes = self.nodes();
        let share = (nodes.len() as f64).recip();
        let pairs: Vec<Pair> = nodes.iter().map(|node| self.pair(node, &places)).collect();
        let average = |of: &dyn Fn(&Pair) -> f64| share * pairs.iter().map(of).sum::<f64>();
        let means = [0, 1].map(|k| average(&|pair| pair.means[k]));
        // What nodes differ by counts as well.
        let variance = |k: usize| average(&|pair| pair.variances[k] + (pair.means[k] - means[k]).powi(2));
        let apart = |pair: &Pair| (pair.means[0] - means[0]) * (pair.means[1] - means[1]);
        let covariance = average(&|pair| pair.covariance + apart(pair));
        let squared = |of: &dyn Fn(&Spreads) -> f64| {
            (share * nodes.iter().map(|node| of(&node.spreads).powi(2)).sum::<f64>()).sqrt()
        };
        let whole = squared(&|spreads| spreads.new_grower(self.options.tails));
        let arm_sd = squared(&|spreads| spreads.sd[ARM]);
        SharedTrial {
            correlation: covariance / (variance(0) * variance(1)).sqrt(),
            shared_sd: (whole * whole - arm_sd * arm_sd).max(0.0).sqrt(),
            arm_sd,
        }
    }

    fn pair(&self, node: &Node, places: &[CellPlace; 2]) -> Pair {
        let moments = node.moments(&self.layout);
        let means = [0, 1].map(|k| places[k].seen.iter().map(|place| moments.at.variables[*place]).sum());
        let (rooted, unseen) = (places.each_ref().map(|place| rooted(&moments, place)), unseen(places, node));
        let variance = |k: usize| in_lanes(&rooted[k], &rooted[k]) + unseen.0[k];
        Pair {
            means,
            variances: [variance(0), variance(1)],
            covariance: in_lanes(&rooted[0], &rooted[1]) + unseen.1,
        }
    }
}

/// A root of the variance of what is seen.
fn rooted(moments: &Moments<'_>, place: &CellPlace) -> Vec<f64> {
    let seen: Vec<(usize, f64)> = place.seen.iter().map(|k| (*k, 1.0)).collect();
    moments.layout.pattern.rooted(&moments.local.factor, &seen)
}

/// Variances of effects that are not seen, and what both methods have of them in common.
fn unseen(places: &[CellPlace; 2], node: &Node) -> ([f64; 2], f64) {
    let variance = |kind: &usize| node.spreads.sd[*kind].powi(2);
    let all = places.each_ref().map(|place| place.unseen.iter().map(variance).sum());
    let shared = places[0].unseen.iter().filter(|kind| OF_SPECIES.contains(kind));
    (all, shared.map(variance).sum())
}
