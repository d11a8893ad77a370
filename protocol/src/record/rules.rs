//! Rules that hold between the numbers of one summary.

use super::count_rules::{self, CountFault};
use super::{Arm, DesignFlags, Stage, Summary};

/// A broken rule, with the arm and stage where it broke.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum RuleError {
    /// Arm numbers must rise, so that none stands twice.
    #[error("arm numbers do not rise: {second} follows {first}")]
    ArmOrder {
        /// The earlier arm's number.
        first: u8,
        /// The later arm's number.
        second: u8,
    },
    /// The control must be an arm of the trial.
    #[error("the control is arm {control}, which is not there")]
    NoControl {
        /// Its number.
        control: u8,
    },
    /// Matched replicates are blocks, so every arm has a list of them, and all lists are as long.
    #[error("replicates are matched, but arm {arm} has {found} of them and arm {first} has {expected}")]
    Unmatched {
        /// The arm whose list differs.
        arm: u8,
        /// Its replicates.
        found: usize,
        /// The first arm.
        first: u8,
        /// Its replicates.
        expected: usize,
    },
    /// Matched replicates without a list in any arm.
    #[error("replicates are matched, but no arm has any")]
    NothingMatched,
    /// Phases must follow each other.
    #[error("arm {arm}: phases do not follow each other")]
    PhaseOrder {
        /// The arm's number.
        arm: u8,
    },
    /// Only a block can be without pieces of an arm.
    #[error("arm {arm}: a replicate of none, and replicates are not matched")]
    EmptyReplicate {
        /// The arm's number.
        arm: u8,
    },
    /// Started per replicate must add up to started.
    #[error("arm {arm}: replicates add up to {sum}, started is {started}")]
    ReplicatesStarted {
        /// The arm's number.
        arm: u8,
        /// Of the replicates.
        sum: u32,
        /// Of the arm.
        started: u16,
    },
    /// A rule within the counts of one stage.
    #[error("arm {arm}, {stage}: {fault}")]
    Counts {
        /// The arm's number.
        arm: u8,
        /// `lift`, `season end`, `spring` or `final`.
        stage: &'static str,
        /// What does not fit.
        fault: CountFault,
    },
}

/// The first broken rule, arm by arm and stage by stage.
pub(crate) fn check(summary: &Summary) -> Result<(), RuleError> {
    for pair in summary.arms.windows(2) {
        let (first, second) = (pair[0].number, pair[1].number);
        if second <= first {
            return Err(RuleError::ArmOrder { first, second });
        }
    }
    check_control(summary)?;
    let is_matched = summary.design.has(DesignFlags::REPLICATES_MATCHED);
    if is_matched {
        check_matched(&summary.arms)?;
    }
    summary.arms.iter().try_for_each(|arm| check_arm(arm, summary.head.major, is_matched))
}

fn check_control(summary: &Summary) -> Result<(), RuleError> {
    match summary.control {
        Some(control) if summary.arms.iter().all(|arm| arm.number != control) => {
            Err(RuleError::NoControl { control })
        }
        _ => Ok(()),
    }
}

fn check_matched(arms: &[Arm]) -> Result<(), RuleError> {
    let length = |arm: &Arm| arm.replicates.as_ref().map_or(0, Vec::len);
    let Some((first, expected)) = arms.first().map(|arm| (arm.number, length(arm))) else { return Ok(()) };
    match arms.iter().find(|arm| length(arm) != expected) {
        Some(arm) => Err(RuleError::Unmatched { arm: arm.number, found: length(arm), first, expected }),
        None if expected == 0 => Err(RuleError::NothingMatched),
        None => Ok(()),
    }
}

fn check_arm(arm: &Arm, major: u8, is_matched: bool) -> Result<(), RuleError> {
    if arm.phases.windows(2).any(|pair| pair[1].after_weeks <= pair[0].after_weeks) {
        return Err(RuleError::PhaseOrder { arm: arm.number });
    }
    check_replicates(arm, is_matched)?;
    arm.stages.counted().try_for_each(|(stage, counts)| {
        let fault = if major == 0 {
            count_rules::check_old(arm, stage, counts)
        } else {
            count_rules::check(arm, stage, counts)
        };
        fault.map_err(|fault| at(arm, stage, fault))
    })
}

fn at(arm: &Arm, stage: Stage, fault: CountFault) -> RuleError {
    RuleError::Counts { arm: arm.number, stage: stage.name(), fault }
}

fn check_replicates(arm: &Arm, is_matched: bool) -> Result<(), RuleError> {
    let Some(replicates) = &arm.replicates else { return Ok(()) };
    if !is_matched && replicates.contains(&0) {
        return Err(RuleError::EmptyReplicate { arm: arm.number });
    }
    let sum = count_rules::total(replicates);
    if sum == u32::from(arm.started) {
        Ok(())
    } else {
        Err(RuleError::ReplicatesStarted { arm: arm.number, sum, started: arm.started })
    }
}
