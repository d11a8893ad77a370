//! Rates of combinations of levels.

use serde::Serialize;

use super::input::check_levels;
use super::law::SumLaw;
use super::{FacetError, FacetFit};
use crate::logit::logistic;

/// Predicted rate of one level of every facet. Rates are 0..=1; every `_q` holds the 2.5, 50 and 97.5 % points.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Combination {
    /// The levels, one a facet.
    pub levels: Vec<usize>,
    /// Typical grower's rate.
    pub typical_grower_rate_q: [f64; 3],
    /// Mean of the average grower's rate: the headline.
    pub average_grower_rate_mean: f64,
    /// The average grower's rate.
    pub average_grower_rate_q: [f64; 3],
    /// A new grower's rate: the prediction interval.
    pub new_grower_rate_q: [f64; 3],
    /// Growers who tried exactly this.
    pub growers: usize,
    /// Trials that hold exactly this.
    pub trials: usize,
    /// Pieces started exactly so; 0 where it was never tried.
    pub started: u64,
    /// How many of them succeeded.
    pub succeeded: u64,
    /// Whether evidence alone would leave the rate open: a level never tried, or levels known together that are asked for
    /// apart. The prediction is then mostly the prior.
    pub rests_on_prior: bool,
}

impl Combination {
    /// Whether anybody tried exactly this combination. If not, the prediction rests on effects adding up.
    pub fn tried(&self) -> bool {
        self.started > 0
    }
}

impl FacetFit {
    /// Reference level of every facet.
    pub fn references(&self) -> &[usize] {
        &self.layout.references
    }

    /// Predicted rate of a combination: one level for every facet.
    ///
    /// # Errors
    /// [`FacetError::Shape`] and [`FacetError::Level`] when it does not name one level for every facet;
    /// [`FitError::NotConverged`](crate::FitError::NotConverged) where its law cannot be found.
    pub fn predict(&self, levels: &[usize]) -> Result<Combination, FacetError> {
        check_levels(self.layout.levels.iter().copied(), levels)?;
        let terms: Vec<(usize, f64)> = self.layout.places(levels).into_iter().map(|a| (a, 1.0)).collect();
        let law = SumLaw::new(&self.posterior, &terms)?;
        let (average_grower_rate_mean, average_grower_rate_q) = law.average_rate();
        let support = self.tried.combinations.get(levels).copied().unwrap_or_default();
        Ok(Combination {
            levels: levels.to_vec(),
            typical_grower_rate_q: law.quantiles().map(logistic),
            average_grower_rate_mean,
            average_grower_rate_q,
            new_grower_rate_q: law.new_grower_quantiles().map(logistic),
            growers: support.growers,
            trials: support.trials,
            started: support.started,
            succeeded: support.succeeded,
            rests_on_prior: !self.separable.is_known(&self.layout, levels),
        })
    }
}
