//! The next trial of a grower who has tried a species and method already.

use super::JointFit;
use super::borrowed::{JointLaw, LawWeights, shares};
use crate::rate::{RateFit, RateLaw, next_trial_of};
use crate::{Count, FitError, Grower};

impl JointFit {
    /// Law of the rate in the next trial of a grower with the trials `own`, where `others` are all other growers of the species and
    /// method and `alone` is the default model of these.
    ///
    /// # Errors
    /// Those of [`Self::expect_of`], and [`FitError::Count`] for an impossible own count.
    pub fn next_trial(
        &self,
        weights: &LawWeights,
        [genus, species, method]: [usize; 3],
        others: (&[Grower], &RateFit),
        own: &[Count],
    ) -> Result<RateLaw, FitError> {
        let (growers, alone) = others;
        let place = self.layout.cell(genus, species, method);
        let laws = self.laws(&place, growers, alone)?;
        let weights = if growers.is_empty() { weights.0 } else { shares(weights.0, laws.log_evidence) };
        let joint = match &laws.joint {
            JointLaw::Points(law) => law.grower_levels(),
            JointLaw::Quadrature(fit) => fit.grower_levels(),
        };
        let laws = [joint, laws.location.grower_levels(), alone.grower_levels()];
        let laws = laws
            .iter()
            .zip(weights)
            .flat_map(|(levels, weight)| levels.iter().map(move |level| (level, weight)));
        next_trial_of(laws, own)
    }
}
