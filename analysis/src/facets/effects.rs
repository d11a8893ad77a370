//! Effects of levels, each against its facet's reference.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::input::Layout;
use super::laplace::Posterior;
use super::law::SumLaw;
use super::separable::Separable;
use super::tried::Tried;
use crate::FitError;

/// What an effect rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Standing {
    /// The reference itself: no effect by definition.
    Reference,
    /// Seen inside growers' own treatments, other details allowed for.
    WithinGrowers,
    /// Only by comparing one grower with another: a difference may be the growers'.
    BetweenGrowers,
    /// Always tried together with another level, or apart from the reference without a link: the effect is shared out by the
    /// prior.
    Aliased,
    /// Never tried: the effect is the prior.
    NeverTried,
}

/// Effect of a level against its detail's reference, everything else equal.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LevelEffect {
    /// Mean log odds ratio against the reference; 0 for the reference.
    pub log_or_mean: f64,
    /// Its standard deviation.
    pub log_or_sd: f64,
    /// Its 2.5, 50 and 97.5 % points.
    pub log_or_q: [f64; 3],
    /// Chance that its rate is higher than the reference's; 0 for the reference.
    pub prob_better_than_reference: f64,
    /// What the effect rests on.
    pub standing: Standing,
    /// Growers who tried the level.
    pub growers: usize,
    /// Trials that hold it.
    pub trials: usize,
    /// Trials that hold it and another level of its detail.
    pub side_by_side_trials: usize,
    /// Propagules started.
    pub started: u64,
    /// Propagules that succeeded.
    pub succeeded: u64,
}

pub(super) fn effects(
    layout: &Layout,
    posterior: &Posterior,
    tried: &Tried,
    separable: &Separable,
) -> Result<Vec<Vec<LevelEffect>>, FitError> {
    let of_facet = |facet: usize| {
        let level = |level| effect(layout, posterior, tried, separable, [facet, level]);
        (0..layout.levels[facet]).map(level).collect()
    };
    (0..layout.levels.len()).map(of_facet).collect()
}

fn effect(
    layout: &Layout,
    posterior: &Posterior,
    tried: &Tried,
    separable: &Separable,
    [facet, level]: [usize; 2],
) -> Result<LevelEffect, FitError> {
    let reference = layout.references[facet];
    let support = tried.levels[facet][level];
    let mut out = LevelEffect {
        log_or_mean: 0.0,
        log_or_sd: 0.0,
        log_or_q: [0.0; 3],
        prob_better_than_reference: 0.0,
        standing: standing(layout, tried, separable, [facet, level]),
        growers: support.growers,
        trials: support.trials,
        side_by_side_trials: tried.side_by_side[facet][level],
        started: support.started,
        succeeded: support.succeeded,
    };
    if level != reference {
        let law = difference(layout, posterior, facet, [level, reference])?;
        (out.log_or_mean, out.log_or_sd) = law.moments();
        out.log_or_q = law.quantiles();
        out.prob_better_than_reference = law.above_zero();
    }
    Ok(out)
}

fn difference(
    layout: &Layout,
    posterior: &Posterior,
    facet: usize,
    levels: [usize; 2],
) -> Result<SumLaw, FitError> {
    let [of, against] = levels.map(|level| layout.place(facet, level));
    SumLaw::new(posterior, &[(of, 1.0), (against, -1.0)])
}

fn standing(layout: &Layout, tried: &Tried, separable: &Separable, [facet, level]: [usize; 2]) -> Standing {
    let reference = layout.references[facet];
    if level == reference {
        return Standing::Reference;
    }
    let started = |level: usize| tried.levels[facet][level].started > 0;
    if !(started(level) && started(reference)) {
        return Standing::NeverTried;
    }
    match separable.contrast(layout, facet, [level, reference]) {
        (_, true) => Standing::WithinGrowers,
        (true, false) => Standing::BetweenGrowers,
        (false, false) => Standing::Aliased,
    }
}

/// `[facet][i][j]`: chance that level i is above level j; against the reference as the effects say.
pub(super) fn better(
    layout: &Layout,
    posterior: &Posterior,
    effects: &[Vec<LevelEffect>],
) -> Result<Vec<Vec<Vec<f64>>>, FitError> {
    let of_facet = |(facet, effects): (usize, &Vec<LevelEffect>)| {
        let (levels, reference) = (effects.len(), layout.references[facet]);
        let mut chance = vec![vec![0.0; levels]; levels];
        for i in 0..levels {
            for j in 0..i {
                chance[i][j] = match (i == reference, j == reference) {
                    (true, _) => 1.0 - effects[j].prob_better_than_reference,
                    (_, true) => effects[i].prob_better_than_reference,
                    _ => difference(layout, posterior, facet, [i, j])?.above_zero(),
                };
                chance[j][i] = 1.0 - chance[i][j];
            }
        }
        Ok(chance)
    };
    effects.iter().enumerate().map(of_facet).collect()
}
