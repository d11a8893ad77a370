//! Choices of the default model.

use super::Model;
use super::clusters::Cluster;
use crate::FitError;

/// How many levels of spread to fit.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Levels {
    /// Three when at least two growers have two or more trials, else two.
    #[default]
    Auto,
    /// Growers only; the trials of a grower share its rate.
    Two,
    /// Growers, and trials within growers.
    Three,
}

impl Levels {
    pub(super) fn choose(self, clusters: &[Cluster]) -> Model {
        self.model(clusters.iter().map(|c| c.trials.len()))
    }

    /// The model for growers with so many trials each.
    pub(crate) fn model(self, trials: impl Iterator<Item = usize>) -> Model {
        let several = trials.filter(|count| *count > 1).take(2).count();
        match self {
            Self::Three => Model::ThreeLevel,
            Self::Auto if several == 2 => Model::ThreeLevel,
            Self::Auto | Self::Two => Model::TwoLevel,
        }
    }
}

/// Levels and prior scales.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Options {
    /// How many levels of spread to fit.
    pub levels: Levels,
    /// Scale of the half-normal prior of the spread between growers, on the logit scale.
    pub grower_sd: f64,
    /// Scale of the half-normal prior of the spread between trials of one grower.
    pub trial_sd: f64,
}

impl Default for Options {
    fn default() -> Self {
        Self { levels: Levels::Auto, grower_sd: 1.0, trial_sd: 0.5 }
    }
}

impl Options {
    pub(super) fn check(&self) -> Result<(), FitError> {
        check_scale("grower_sd", self.grower_sd)?;
        check_scale("trial_sd", self.trial_sd)
    }
}

/// Refuses prior scales for which a logit spread means nothing.
pub(crate) fn check_scale(name: &'static str, value: f64) -> Result<(), FitError> {
    const LOW: f64 = 0.01;
    const HIGH: f64 = 10.0;
    if (LOW..=HIGH).contains(&value) {
        Ok(())
    } else {
        Err(FitError::Scale { name, value, low: LOW, high: HIGH })
    }
}
