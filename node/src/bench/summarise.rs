//! From the bench record to the trial that is anonymised: words become codes, labels stay private.

use propagule_protocol::anonymise::{self, Item, Private, StageDay, StageDays, TrialArm};
use propagule_protocol::{self as protocol, DesignFlags, Facet, FacetError, Facets, StageCounts, Taxon};

use super::{Arm, Counts, Stage, Trial};

/// Why a trial of the bench cannot be put into the schema.
#[derive(Debug, thiserror::Error)]
pub enum SummariseError {
    /// The plant name does not parse.
    #[error(transparent)]
    Species(#[from] protocol::TaxonError),
    /// A facet's words do not parse.
    #[error("arm {arm}: {error}")]
    Facet {
        /// The arm's label.
        arm: String,
        /// What is wrong.
        error: FacetError,
    },
    /// The series is not 32 hex digits.
    #[error("the trial's series is damaged")]
    Series,
}

/// The private view of a bench trial that [`anonymise::anonymise`] takes.
///
/// # Errors
/// When a word is not of the schema; an import checks that before it lets a trial in.
pub fn summarise(trial: &Trial, revision: u8) -> Result<anonymise::Trial, SummariseError> {
    let arms = trial.arms.iter().map(summarise_arm).collect::<Result<Vec<_>, _>>()?;
    Ok(anonymise::Trial {
        series: trial.series_bytes().ok_or(SummariseError::Series)?,
        revision,
        taxon: Taxon::parse(&trial.species)?,
        started: trial.started_on,
        days: StageDays {
            lift: day(trial, Stage::Lift),
            spring: day(trial, Stage::Spring),
            last: day(trial, Stage::Final),
        },
        design: design(trial),
        stock_plants: trial.stock_plants.map(u32::from),
        doi: None,
        grower_mark: None,
        arms,
        private: private(trial),
    })
}

fn day(trial: &Trial, stage: Stage) -> StageDay {
    let is_counted = trial.arms.iter().any(|arm| arm.counts(stage).is_some());
    let date = trial.date(stage);
    if is_counted {
        StageDay { planned: None, counted: date }
    } else {
        StageDay { planned: date, counted: None }
    }
}

fn design(trial: &Trial) -> DesignFlags {
    let bits = [
        (DesignFlags::RANDOMISED, trial.is_randomised),
        (DesignFlags::BLOCKED, trial.is_blocked),
        (DesignFlags::SCORED_BLIND, trial.is_scored_blind),
        (DesignFlags::ALL_ARMS_REPORTED, true),
        (DesignFlags::LOT, trial.arms.len() == 1),
    ];
    DesignFlags(bits.iter().filter(|(_, is_set)| *is_set).map(|(bit, _)| bit).sum())
}

fn private(trial: &Trial) -> Private {
    Private {
        name: trial.code.clone(),
        place: trial.place.clone().unwrap_or_default(),
        notes: trial.note.iter().cloned().collect(),
        other: Vec::<Item>::new(),
    }
}

fn summarise_arm(arm: &Arm) -> Result<TrialArm, SummariseError> {
    Ok(TrialArm {
        number: arm.number,
        label: arm.label.clone(),
        started: arm.started,
        started_on: None,
        lifted_on: None,
        method: facets(arm)?,
        stages: StageCounts {
            lift: arm.lift.map(counts),
            spring: arm.spring.map(counts),
            last: arm.last.map(counts),
        },
        replicates: None,
        unlisted_difference: None,
        phases: Vec::new(),
    })
}

fn facets(arm: &Arm) -> Result<Facets, SummariseError> {
    let mut facets = Facets::default();
    for (name, words) in &arm.facets {
        let Some(facet) = Facet::from_name(name) else { continue };
        let failed = |error| SummariseError::Facet { arm: arm.label.clone(), error };
        facets.set(facet, words).map_err(failed)?;
    }
    Ok(facets)
}

fn counts(counts: Counts) -> protocol::Counts {
    protocol::Counts {
        alive: counts.alive,
        callused: counts.callused,
        rooted: counts.rooted,
        established: counts.established,
        finished: counts.finished,
        dead: counts.dead,
        lost: counts.lost,
        left_as_finished: counts.left_as_finished,
        ..protocol::Counts::default()
    }
}
