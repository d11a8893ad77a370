//! Several facets of a method at once: additive effects of wood stage, auxin, medium, humidity…
//!
//! r ~ Binomial(n, p) for every arm; logit p = mu + sum of the effects of the arm's levels + u of the grower + v of the trial;
//! u ~ N(0, sg²), v ~ N(0, st²), mu ~ Logistic(0, 1), sg ~ half-Normal(1), st ~ half-Normal(0.5); any two levels of one
//! facet differ by N(0, 2.82²) before there is evidence (Günhan, Röver & Friede 2020, Res Synth Methods 11:74), the same
//! whichever is the reference. Nested Laplace approximation (Rue, Martino & Chopin 2009, JRSS B 71:319), with the law of
//! each effect and combination computed point by point where the spreads are likeliest (Tierney & Kadane 1986, JASA 81:82).
//! Nothing is added to a count.
//!
//! Additive means that a level's effect is taken to be the same whatever the other facets are, and the same for all
//! growers. What was never tried together is predicted all the same and marked ([`Combination::tried`]); what the
//! evidence cannot separate is named ([`FacetFit::aliases`], [`Standing`]).
//!
//! ```
//! use propagule_analysis::Count;
//! use propagule_analysis::facets::{self, Facet, FacetArm, FacetGrower, Options, Standing};
//!
//! // Facet 0: wood stage (0 softwood, 1 hardwood). Facet 1: auxin (0 without, 1 with).
//! let arm = |stage, auxin, started, succeeded| FacetArm {
//!     levels: vec![stage, auxin],
//!     count: Count { started, succeeded },
//! };
//! let growers = vec![
//!     FacetGrower { trials: vec![vec![arm(0, 0, 20, 4), arm(0, 1, 20, 11)]], weight: 1.0 },
//!     FacetGrower { trials: vec![vec![arm(0, 0, 24, 9), arm(1, 0, 24, 2)]], weight: 1.0 },
//!     FacetGrower { trials: vec![vec![arm(0, 1, 15, 8), arm(0, 0, 15, 2)]], weight: 1.0 },
//! ];
//! let fit = facets::fit(&[Facet::new(2), Facet::new(2)], &growers, &Options::default())?;
//!
//! let auxin = &fit.effects[1][1];
//! assert_eq!(auxin.standing, Standing::WithinGrowers);
//! assert!(auxin.log_or_q[0] < auxin.log_or_mean && auxin.prob_better_than_reference > 0.9);
//!
//! // Hardwood with auxin: nobody tried it, yet both effects are known.
//! let both = fit.predict(&[1, 1])?;
//! assert!(!both.tried() && !both.rests_on_prior);
//! assert!(both.average_grower_rate_q[0] < both.average_grower_rate_mean);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod effects;
mod input;
mod laplace;
mod law;
mod predict;
mod separable;
#[cfg(test)]
mod tests;
mod tried;

use serde::Serialize;

pub use effects::{LevelEffect, Standing};
pub use input::{Facet, FacetArm, FacetError, FacetGrower, Options};
pub use predict::Combination;

use crate::rate::Model;
use input::Layout;
use laplace::{Node, Posterior};
use separable::Separable;
use tried::Tried;

/// A level of a facet, by both indices.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
pub struct FacetLevel {
    /// Position of the facet in the list given to [`fit`].
    pub facet: usize,
    /// Which of its levels.
    pub level: usize,
}

/// Posterior of the facet model. Effects and spreads are on the logit scale, rates 0..=1; every `_q` holds the 2.5, 50 and
/// 97.5 % points.
#[derive(Clone, Debug)]
pub struct FacetFit {
    /// Whether a spread between the trials of a grower was fitted too.
    pub model: Model,
    /// Effects, `effects[facet][level]`.
    pub effects: Vec<Vec<LevelEffect>>,
    /// `better[facet][i][j]`: chance that level i has a higher rate than level j, everything else equal; 0 on the diagonal.
    pub better: Vec<Vec<Vec<f64>>>,
    /// Levels that the evidence cannot separate from each other, because they were always tried together; groups of two
    /// or more, without the levels never tried.
    pub aliases: Vec<Vec<FacetLevel>>,
    /// Mean spread between growers.
    pub grower_spread_mean: f64,
    /// Mean spread between the trials of a grower; `None` in two levels.
    pub trial_spread_mean: Option<f64>,
    layout: Layout,
    posterior: Posterior,
    tried: Tried,
    separable: Separable,
}

/// Fits additive effects of `facets` to the arms of `growers`.
///
/// Every arm names one level of every facet; an unknown level is the caller's to handle (leave the arm out, or give
/// "not recorded" a level of its own). Growers of weight 0 and arms in which nothing was started are left out; arms of one
/// trial with the same levels are added. No growers at all give the prior.
///
/// # Errors
/// [`FacetError`] for a level or reference out of range, a facet without levels, more than 200 levels altogether, an
/// impossible count, a weight outside 0..=1, a prior scale out of range, or a fit that does not converge.
pub fn fit(facets: &[Facet], growers: &[FacetGrower], options: &Options) -> Result<FacetFit, FacetError> {
    input::check(facets, growers, options)?;
    let tried = Tried::new(facets, growers);
    let layout = Layout::new(facets, &tried);
    let separable = Separable::new(&layout, &tried, growers);
    let model = options.model(growers);
    let posterior = laplace::integrate(&layout, growers, model, options)?;
    let effects = effects::effects(&layout, &posterior, &tried, &separable)?;
    let grower_spread_mean = average(&posterior, |node| node.grower_spread);
    let trial_spread = average(&posterior, |node| node.trial_spread);
    Ok(FacetFit {
        model,
        better: effects::better(&layout, &posterior, &effects)?,
        effects,
        aliases: separable.aliases().to_vec(),
        grower_spread_mean,
        trial_spread_mean: (model == Model::ThreeLevel).then_some(trial_spread),
        layout,
        posterior,
        tried,
        separable,
    })
}

fn average(posterior: &Posterior, f: fn(&Node) -> f64) -> f64 {
    posterior.nodes.iter().map(|node| node.share * f(node)).sum()
}
