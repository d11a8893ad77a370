//! Normal-model meta-analysis: estimates with known variances, for reference and for comparison.
//!
//! None of this is a headline: corrections of 0.5 pull rates towards one half, and all these intervals are too narrow
//! with few growers. It is here because readers know it, and so that our figures can be held against it.

mod effect;
mod fit;
mod influence;
mod multivariate;
mod pairwise;
mod small_study;
mod tau;

pub use effect::{
    Correction, Effect, PairMeasure, freeman_tukey, freeman_tukey_rate, harmonic_mean_started, logit_rate,
    pair_effect,
};
pub use fit::{Fit, KnappHartung, MetaError, fit, fit_until, normal_p, regress, wald_statistic};
pub use influence::{Influence, influence, leave_one_out};
pub use multivariate::{Multivariate, MultivariateFit};
pub use pairwise::{Homogeneity, PairSummary, breslow_day, mantel_haenszel, peto};
pub use small_study::{Line, RankTest, rank_test, weighted_line};
pub use tau::TauMethod;
