//! Heterogeneity against inconsistency, and direct against indirect evidence.

use super::contrasts::NetworkTrial;
use super::normal_model::{NetworkEstimate, moment_estimate, within_design_q};
use crate::chi_squared::chi_squared_above;
use crate::meta::{MetaError, normal_p};

/// A random-effects network by moments, with Q split (Krahn, Binder & König 2013, BMC Med Res Methodol 13:35).
#[derive(Clone, Debug)]
pub struct NetworkHeterogeneity {
    /// Estimates at the moment estimate of tau² (`DerSimonian` & Laird, generalised to trials with several arms).
    pub estimate: NetworkEstimate,
    /// Share of Q beyond its degrees of freedom, 0..=1.
    pub i2: f64,
    /// Q inside designs.
    pub q_heterogeneity: f64,
    /// Q between designs.
    pub q_inconsistency: f64,
    /// Degrees of freedom between designs.
    pub q_inconsistency_df: f64,
    /// p value of the latter.
    pub q_inconsistency_p: f64,
}

/// Fits the network by moments (Jackson, White & Riley 2012, Stat Med 31:3805). With few trials the split has almost no power: say "too few trials to check".
///
/// # Errors
/// [`MetaError::Singular`] when the methods are not connected.
pub fn dersimonian_laird(methods: usize, trials: &[NetworkTrial]) -> Result<NetworkHeterogeneity, MetaError> {
    let estimate = moment_estimate(methods, trials)?;
    let (q_heterogeneity, contrasts_of_designs) = within_design_q(methods, trials)?;
    let q_inconsistency = (estimate.q - q_heterogeneity).max(0.0);
    let q_inconsistency_df = contrasts_of_designs as f64 - (methods as f64 - 1.0);
    Ok(NetworkHeterogeneity {
        i2: ((estimate.q - estimate.q_df) / estimate.q).max(0.0),
        q_heterogeneity,
        q_inconsistency,
        q_inconsistency_df,
        q_inconsistency_p: chi_squared_above(q_inconsistency, q_inconsistency_df),
        estimate,
    })
}

/// Direct and indirect evidence on one pair of methods.
#[derive(Clone, Copy, Debug)]
pub struct Split {
    /// Trials that hold both.
    pub trials: usize,
    /// Pooled over those trials: log odds ratio of the first method against the second.
    pub direct: f64,
    /// Its standard error.
    pub direct_se: f64,
    /// What the rest of the network says, by back-calculation; none when all evidence is direct.
    pub indirect: Option<(f64, f64)>,
    /// Direct less indirect, its z statistic and p value.
    pub difference: Option<(f64, f64, f64)>,
}

/// Splits the evidence on the pair into trials that hold both and all others (Dias et al. 2010, Stat Med 29:932): (`first`, `second`); `None` when no trial holds both.
pub fn split_nodes(
    network: &NetworkEstimate,
    trials: &[NetworkTrial],
    first: usize,
    second: usize,
) -> Option<Split> {
    let (mut count, mut weight, mut sum) = (0, 0.0, 0.0);
    for trial in trials.iter().filter(|t| t.is_informative()) {
        let arms = trial.log_odds();
        let find = |method: usize| arms.iter().find(|arm| arm.0 == method);
        if let (Some(a), Some(b)) = (find(first), find(second)) {
            let precision = 1.0 / (a.2 + b.2 + network.tau2);
            count += 1;
            weight += precision;
            sum += precision * (a.1 - b.1);
        }
    }
    if count == 0 {
        return None;
    }
    let (direct, own) = (sum / weight, weight);
    let (value, variance) = network.contrast(first, second);
    let rest = 1.0 / variance - own;
    let indirect =
        (rest > 1e-9 * own).then(|| ((value / variance - direct * own) / rest, rest.sqrt().recip()));
    let difference = indirect.map(|(estimate, se)| {
        let gap = direct - estimate;
        let z = gap / own.sqrt().recip().hypot(se);
        (gap, z, normal_p(z))
    });
    Some(Split { trials: count, direct, direct_se: own.sqrt().recip(), indirect, difference })
}
