//! Priors of the centre and of a spread.

use crate::logit::{log_logistic_density, logistic};
use crate::marginal::Slopes;
use crate::normal::HALF_LN_TWO_PI;

/// Prior of the centre mu.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum CentrePrior {
    /// Standard logistic: a uniform prior on the rate of a typical grower.
    Logistic,
    /// Normal around zero with this standard deviation.
    Normal(f64),
    /// Normal around another place.
    Around {
        /// Its mean.
        mean: f64,
        /// Its standard deviation.
        sd: f64,
    },
}

impl CentrePrior {
    pub(crate) fn log_density(self, mu: f64) -> f64 {
        match self {
            Self::Logistic => log_logistic_density(mu),
            Self::Normal(sd) => -0.5 * (mu / sd).powi(2) - HALF_LN_TWO_PI - sd.ln(),
            Self::Around { mean, sd } => Self::Normal(sd).log_density(mu - mean),
        }
    }

    pub(crate) fn slopes(self, mu: f64) -> Slopes {
        let value = self.log_density(mu);
        match self {
            Self::Logistic => {
                let p = logistic(mu);
                Slopes { value, first: 1.0 - 2.0 * p, second: -2.0 * p * (1.0 - p) }
            }
            Self::Normal(sd) => Slopes { value, first: -mu / (sd * sd), second: -1.0 / (sd * sd) },
            Self::Around { mean, sd } => {
                Slopes { value, first: -(mu - mean) / (sd * sd), second: -1.0 / (sd * sd) }
            }
        }
    }

    /// Scale of the prior.
    pub(crate) fn sd(self) -> f64 {
        match self {
            Self::Logistic => 1.8,
            Self::Normal(sd) | Self::Around { sd, .. } => sd,
        }
    }
}

/// Half-normal prior of a spread, by the standard deviation of the whole normal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct HalfNormal(pub(crate) f64);

impl HalfNormal {
    pub(crate) fn log_density(self, s: f64) -> f64 {
        std::f64::consts::LN_2 - HALF_LN_TWO_PI - self.0.ln() - 0.5 * (s / self.0).powi(2)
    }
}
