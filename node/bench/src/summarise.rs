//! From the bench record to the trial that is anonymised: words become codes, labels stay private.

use propagule_protocol::anonymise::{self, Item, Private, StageDay, StageDays, TrialArm, TrialPhase};
use propagule_protocol::{
    self as protocol, DesignFlags, Facet, FacetError, Facets, Parent, StageCounts, Taxon,
};
use serde::{Deserialize, Serialize};

use super::design::unit_is_piece;
use super::matched::{Matched, is_shared};
use super::{Arm, ArmPhase, Counts, Relation, Stage, StartedKnown, Trial};

/// Later phases that a record can carry: the first and the last.
const MOST_PHASES: usize = 2;

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
    /// The mark of another grower is not 16 hex digits.
    #[error("the mark of the grower it is entered for is damaged")]
    Mark,
    /// The series is not 32 hex digits.
    #[error("the trial's series is damaged")]
    Series,
}

/// The private view of a bench trial that [`anonymise::anonymise`] takes.
///
/// # Errors
/// When a word is not of the schema; whatever lets a trial in checks that before.
pub fn summarise(trial: &Trial, revision: u8) -> Result<anonymise::Trial, SummariseError> {
    let matched = Matched::of(trial);
    let arms = trial.arms.iter().map(|arm| summarise_arm(trial, arm, matched.as_ref()));
    let arms = arms.collect::<Result<Vec<_>, _>>()?;
    Ok(anonymise::Trial {
        series: trial.series_bytes().ok_or(SummariseError::Series)?,
        revision,
        taxon: Taxon::parse(&trial.species)?,
        started: trial.started_on.middle(),
        days: StageDays {
            lift: day(trial, Stage::Lift),
            season: day(trial, Stage::Season),
            spring: day(trial, Stage::Spring),
            last: day(trial, Stage::Final),
        },
        design: design(trial, matched.is_some()),
        stock_plants: trial.stock_plants.map(u32::from),
        doi: None,
        grower_mark: trial
            .entered_for
            .as_ref()
            .map(|other| other.mark_bytes().ok_or(SummariseError::Mark))
            .transpose()?,
        parent: parent(trial),
        control: trial.control.filter(|number| trial.arms.len() > 1 && trial.arm(*number).is_some()),
        arms,
        private: private(trial),
    })
}

/// Something of a trial that a record has no room for.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum NotInRecord {
    /// Moves between the first and the last of an arm.
    Moves {
        /// The arm's label.
        arm: String,
        /// How many are left out.
        more: usize,
        /// How many there were.
        all: usize,
    },
    /// The grower's own rule for the lead outcome.
    Rule(String),
    /// The grower's grade of finished plants.
    Grade(String),
}

/// What of the trial a record has no room for.
pub fn left_out(trial: &Trial) -> Vec<NotInRecord> {
    let moved = trial.arms.iter().filter(|arm| arm.phases.len() > MOST_PHASES);
    let moves = moved.map(|arm| {
        let all = arm.phases.len();
        NotInRecord::Moves { arm: arm.label.clone(), more: all - MOST_PHASES, all }
    });
    let rule = trial.rooted_rule.clone().map(NotInRecord::Rule);
    moves.chain(rule).chain(trial.grade.clone().map(NotInRecord::Grade)).collect()
}

fn day(trial: &Trial, stage: Stage) -> StageDay {
    let is_counted = trial.arms.iter().any(|arm| arm.counts(stage).is_some());
    let date = trial.date(stage).map(|when| when.middle());
    if is_counted {
        StageDay { planned: None, counted: date }
    } else {
        StageDay { planned: date, counted: None }
    }
}

fn design(trial: &Trial, is_matched: bool) -> DesignFlags {
    let bits = [
        (DesignFlags::RANDOMISED, trial.is_randomised),
        (DesignFlags::BLOCKED, trial.is_blocked),
        (DesignFlags::SCORED_BLIND, trial.is_scored_blind),
        (DesignFlags::STOCK_PLANTS_UNEVEN, has_uneven_stock(trial)),
        (DesignFlags::ALL_ARMS_REPORTED, true),
        (DesignFlags::STARTED_COUNTED, is_started_counted(trial)),
        (DesignFlags::STARTED_CHANGED, trial.is_started_changed),
        (DesignFlags::REPLICATES_MATCHED, is_matched),
        (DesignFlags::UNIT_IS_PIECE, unit_is_piece(trial)),
        (DesignFlags::LOT, trial.is_lot()),
    ];
    DesignFlags(bits.iter().filter(|(_, is_set)| *is_set).map(|(bit, _)| bit).sum())
}

/// Whether the number put in was counted when it was put in, and never changed after something was counted.
pub fn is_started_counted(trial: &Trial) -> bool {
    trial.started_known == Some(StartedKnown::Counted) && !trial.is_started_changed
}

fn parent(trial: &Trial) -> Option<Parent> {
    let series = propagule_files::hex::decode(trial.parent_series.as_ref()?)?.try_into().ok()?;
    let relation = match trial.follows()? {
        Relation::Replaces => protocol::Relation::Replaces,
        Relation::Regraft => protocol::Relation::Regraft,
        Relation::Repeat => protocol::Relation::Repeat,
    };
    Some(Parent { series, relation })
}

/// What the plant is called that cuttings, scions or seed were taken from, where it may differ between arms.
const STOCK_PLANT: &str = "stock plant";

/// Whether stock plants are known and arms do not have them in the same shares.
pub fn has_uneven_stock(trial: &Trial) -> bool {
    let shares: Vec<_> = trial.arms.iter().map(crate::record::compared::stock_shares).collect();
    trial.arms.len() > 1 && shares.iter().any(|share| *share != shares[0])
}

fn private(trial: &Trial) -> Private {
    let other = trial
        .entered_for
        .iter()
        .map(|other| Item { what: "whose trial it is".to_owned(), value: other.name.clone() });
    let of_arms = trial.arms.iter().flat_map(|arm| {
        let own =
            [("who did the work", &arm.operator), (STOCK_PLANT, &arm.stock_plant), ("bench", &arm.spot)];
        let own = own.into_iter().filter_map(|(what, value)| Some((what, value.as_ref()?)));
        let details = super::record::compared::AT_HOME.into_iter();
        let details = details.filter_map(|(detail, what)| Some((what, arm.at_home.get(&detail)?)));
        let of_arm = |what: &str| format!("arm {}: {what}", arm.number);
        own.chain(details).map(move |(what, value)| Item { what: of_arm(what), value: value.clone() })
    });
    let question = trial.question.iter().map(|q| Item { what: "question".to_owned(), value: q.clone() });
    Private {
        name: trial.code.clone(),
        place: trial.place.clone().unwrap_or_default(),
        notes: trial.note.iter().cloned().collect(),
        other: question.chain(other).chain(of_arms).collect(),
    }
}

fn summarise_arm(trial: &Trial, arm: &Arm, matched: Option<&Matched>) -> Result<TrialArm, SummariseError> {
    let started: Vec<u16> = arm.replicates.iter().map(|replicate| replicate.started).collect();
    let replicates: Vec<(String, u16)> = match matched {
        Some(matched) => {
            let blocks = matched.arranged(arm.number, &started).into_iter().zip(1_u8..);
            blocks.map(|(started, block)| (format!("block {block}"), started)).collect()
        }
        None => arm.replicates.iter().map(|replicate| replicate.code.clone()).zip(started).collect(),
    };
    let phases = kept_phases(&arm.phases).map(|phase| summarise_phase(arm, phase));
    let counts = |stage| arm.counts(stage).map(|counts| stage_counts(arm, stage, *counts, matched));
    Ok(TrialArm {
        number: arm.number,
        label: arm.label.clone(),
        started: arm.started,
        started_on: arm.started_on.map(|when| when.middle()),
        lifted_on: None,
        method: facets(arm, &arm.facets)?,
        stages: StageCounts {
            lift: counts(Stage::Lift),
            season: counts(Stage::Season),
            spring: counts(Stage::Spring),
            last: counts(Stage::Final),
        },
        replicates: (replicates.len() > 1).then_some(replicates),
        unlisted_difference: unlisted_mark(trial, arm),
        phases: phases.collect::<Result<_, _>>()?,
    })
}

/// Arms that are alike in all that no facet holds get the same mark; none where all are alike.
fn unlisted_mark(trial: &Trial, arm: &Arm) -> Option<u8> {
    // Stock plants and people that all arms share are blocks, in whatever shares.
    let crossed = ["operator", STOCK_PLANT].map(|what| (what, is_shared(trial, what)));
    let of = |arm: &Arm| {
        let is_crossed = |what: &str| crossed.iter().any(|(name, is_shared)| *is_shared && *name == what);
        let mut others = arm.others.clone();
        others.retain(|what, _| !is_crossed(what));
        others
    };
    let mut all: Vec<_> = trial.arms.iter().map(of).collect();
    all.sort();
    all.dedup();
    let at = all.iter().position(|others| *others == of(arm));
    at.filter(|_| all.len() > 1).map(|at| at as u8 + 1)
}

/// The first and the last move, where a record has no room for all.
fn kept_phases(phases: &[ArmPhase]) -> impl Iterator<Item = &ArmPhase> {
    let first = phases.len().min(MOST_PHASES - 1);
    phases[..first].iter().chain(phases[first..].last())
}

fn summarise_phase(arm: &Arm, phase: &ArmPhase) -> Result<TrialPhase, SummariseError> {
    Ok(TrialPhase {
        moved_on: phase.on.middle(),
        spot: phase.spot.clone(),
        method: facets(arm, &phase.facets)?,
    })
}

fn facets(arm: &Arm, words: &std::collections::BTreeMap<String, String>) -> Result<Facets, SummariseError> {
    let mut facets = Facets::default();
    for (name, words) in words {
        let Some(facet) = Facet::from_name(name) else { continue };
        let failed = |error| SummariseError::Facet { arm: arm.label.clone(), error };
        facets.set(facet, words).map_err(failed)?;
    }
    Ok(facets)
}

fn stage_counts(arm: &Arm, stage: Stage, counts: Counts, matched: Option<&Matched>) -> protocol::Counts {
    let in_order = |list: Vec<u16>| match matched {
        Some(matched) => matched.arranged(arm.number, &list),
        None => list,
    };
    let is_listed = arm.replicates.len() > 1 || matched.is_some();
    let replicates = arm.replicate_counts.get(&stage).cloned().flatten().filter(|_| is_listed).map(in_order);
    let lost = arm.replicate_lost.get(&stage).cloned().filter(|_| replicates.is_some()).map(in_order);
    protocol::Counts {
        alive: counts.alive,
        callused: counts.callused,
        rooted: counts.rooted,
        established: counts.established,
        finished: counts.finished,
        dead: counts.dead,
        lost: counts.lost,
        replicates,
        left_as_finished: counts.left_as_finished,
        ever_rooted: counts.ever_rooted,
        lost_by_replicate: lost.filter(|_| counts.lost.is_some_and(|lost| lost > 0)),
        ..protocol::Counts::default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use propagule_protocol::vocab::HomeDetail;

    #[test]
    fn whatever_no_record_holds_of_a_method_is_told_to_stay() {
        let details = [
            (HomeDetail::Seconds, "5"),
            (HomeDetail::Minutes, "10"),
            (HomeDetail::Hours, "12"),
            (HomeDetail::Cells, "72"),
            (HomeDetail::Size, "9 cm"),
            (HomeDetail::Leaves, "2"),
        ];
        for (detail, said) in details {
            let arm = Arm { number: 1, at_home: [(detail, said.to_owned())].into(), ..Arm::default() };
            let on = super::super::dates::When::day("2026-06-06".parse().expect("a day"));
            let trial = Trial { arms: vec![arm], ..Trial::empty("M1", "Morus nigra", on) };
            let stays = private(&trial).other;
            assert!(
                stays.iter().any(|item| item.value == said && item.what.starts_with("arm 1: ")),
                "{detail:?}: {stays:?}"
            );
        }
    }
}
