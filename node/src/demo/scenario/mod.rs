//! Invented growers and their trials, drawn from a seed: the same on every machine, with the truth beside it.
//!
//! Forty growers in six invented regions try *Ribes nigrum* hardwood, *Morus nigra* semi-ripe, *Cornus mas* seed and
//! *Juglans regia* budding over two seasons. Every random number comes from a stream that its purpose names, so
//! that more growers or another crop never change what is there already. [`truth`] holds what a large number of
//! such trials would show, by integration and not by simulation.

mod bad_actors;
mod counts;
mod crop;
pub mod effects;
mod extra;
mod grower;
mod region;
mod stable;
mod stream;
mod table;
#[cfg(test)]
mod tests;
mod trial;
pub mod truth;

use propagule_protocol::anonymise::Trial;
use propagule_protocol::{
    AnonymiseError, Body, Month, NetworkId, Place, SecretKey, SignError, Signed, Summary,
};
use propagule_protocol::{anonymise, sign};

pub use bad_actors::{BAD_ACTORS, stopped_at_the_door};
pub use crop::{Cover, Crop, Steps, Treatment};
pub use extra::{ExtraGrower, extra_grower};
pub use region::{InventedRegion, REGIONS};
pub use table::import_table;
pub use trial::ScenarioTrial;

/// The scenario's own seed.
pub const SEED: u64 = 20_261_125;

/// What to draw.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Options {
    /// The seed.
    pub seed: u64,
    /// How many growers.
    pub growers: usize,
    /// Whether some growers keep trials with less than 30 % success to themselves.
    pub selective_silence: bool,
    /// Whether some growers lie or err.
    pub bad_actors: bool,
}

impl Default for Options {
    fn default() -> Self {
        Self { seed: SEED, growers: 40, selective_silence: false, bad_actors: false }
    }
}

/// One invented grower.
#[derive(Clone, Debug)]
pub struct ScenarioGrower {
    /// `g01`, `g02`, …
    pub id: String,
    /// Where.
    pub region: &'static InventedRegion,
    /// The place behind the published region.
    pub place: Place,
    /// The key that signs; derived from the seed.
    pub key: SecretKey,
    /// The trials, in order of season and crop.
    pub trials: Vec<ScenarioTrial>,
}

/// A trial of the scenario that cannot be published.
#[derive(Debug, thiserror::Error)]
pub enum ScenarioError {
    /// It cannot be made anonymous.
    #[error("{code}: {source}")]
    Anonymise {
        /// The trial.
        code: String,
        /// Why.
        source: AnonymiseError,
    },
    /// It cannot be signed.
    #[error("{code}: {source}")]
    Sign {
        /// The trial.
        code: String,
        /// Why.
        source: SignError,
    },
}

/// All growers of the scenario with their trials.
pub fn growers(options: &Options) -> Vec<ScenarioGrower> {
    let mut growers: Vec<ScenarioGrower> =
        (1..=options.growers).map(|number| scenario_grower(options, number)).collect();
    if options.bad_actors {
        bad_actors::spoil(&mut growers, options);
    }
    growers
}

fn scenario_grower(options: &Options, number: usize) -> ScenarioGrower {
    let character = grower::character(options.seed, number);
    let mut trials = trial::trials(options.seed, &character);
    if options.selective_silence && character.keeps_poor_results {
        trials = trials.into_iter().filter_map(without_poor_counts).collect();
    }
    ScenarioGrower {
        id: grower::id(number),
        region: character.region,
        key: grower::key(options.seed, number),
        place: character.place,
        trials,
    }
}

/// Success below which a silent grower publishes no counts.
const POOR: f64 = 0.3;

/// The trial as a silent grower leaves it: a poor one ends with its opening, or is never heard of.
fn without_poor_counts(mut trial: ScenarioTrial) -> Option<ScenarioTrial> {
    let is_poor =
        trial.revisions.iter().any(|(_, trial)| rooted_share(trial).is_some_and(|share| share < POOR));
    if is_poor {
        trial.revisions.retain(|(_, trial)| rooted_share(trial).is_none());
    }
    (!trial.revisions.is_empty()).then_some(trial)
}

/// Rooted at lift, of all put in; `None` before lift.
fn rooted_share(trial: &Trial) -> Option<f64> {
    let rooted = trial.arms.iter().map(|arm| arm.stages.lift.as_ref()?.rooted).sum::<Option<u16>>()?;
    let started: u16 = trial.arms.iter().map(|arm| arm.started).sum();
    Some(f64::from(rooted) / f64::from(started))
}

impl ScenarioGrower {
    /// Codes of the trials.
    pub fn codes(&self) -> Vec<&str> {
        self.trials.iter().map(|trial| trial.code.as_str()).collect()
    }

    /// The trials as they stand last, as a table for `trial import`.
    pub fn import_table(&self) -> String {
        import_table(self.trials.iter().filter_map(|trial| trial.revisions.last()).map(|(_, trial)| trial))
    }

    /// Summaries of all revisions in the order of trials and revisions.
    ///
    /// # Errors
    /// [`ScenarioError::Anonymise`] for a trial that cannot be published.
    pub fn summaries(&self) -> Result<Vec<Summary>, ScenarioError> {
        let revisions = self.trials.iter().flat_map(|trial| trial.revisions.iter().map(move |r| (trial, r)));
        let summary = |(trial, (signed, revision)): (&ScenarioTrial, &(Month, Trial))| {
            anonymise(revision, &self.place, *signed)
                .map(|publication| publication.summary)
                .map_err(|source| ScenarioError::Anonymise { code: trial.code.clone(), source })
        };
        revisions.map(summary).collect()
    }

    /// Records of all revisions for a network.
    ///
    /// # Errors
    /// [`ScenarioError`] for a trial that cannot be published or signed.
    pub fn records(&self, network: &NetworkId) -> Result<Vec<Signed>, ScenarioError> {
        let signed = |summary: Summary| {
            let body = Body::Summary(summary);
            sign(&body, &self.key, network)
                .map_err(|source| ScenarioError::Sign { code: self.id.clone(), source })
        };
        self.summaries()?.into_iter().map(signed).collect()
    }
}
