//! Rules that hold between the numbers of one summary.

use super::{Arm, Counts, StageCounts, Summary};

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
    /// Phases must follow each other.
    #[error("arm {arm}: phases do not follow each other")]
    PhaseOrder {
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
        /// `lift`, `spring` or `final`.
        stage: &'static str,
        /// What does not fit.
        fault: CountFault,
    },
}

/// What does not fit within the counts of one stage.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum CountFault {
    /// A count that must not exceed another one does.
    #[error("{part} {part_count} exceeds {whole} {whole_count}")]
    Exceeds {
        /// Which count is too high.
        part: &'static str,
        /// Its value.
        part_count: u32,
        /// Which count bounds it.
        whole: &'static str,
        /// Its value.
        whole_count: u32,
    },
    /// alive + dead + lost + left as finished must be started where all are given.
    #[error("alive, dead, lost and left as finished add up to {sum}, started is {started}")]
    DoesNotAddUp {
        /// Their sum.
        sum: u32,
        /// Of the arm.
        started: u16,
    },
    /// A count that this stage cannot have.
    #[error("{0} cannot be counted at this stage")]
    WrongStage(&'static str),
    /// A count without the one it is part of.
    #[error("{part} without {whole}")]
    Without {
        /// The count that stands alone.
        part: &'static str,
        /// The one it needs.
        whole: &'static str,
    },
    /// Replicates of this stage and replicates started differ in number.
    #[error("{counted} replicates counted, {started} started")]
    ReplicateNumber {
        /// With counts.
        counted: usize,
        /// Put in.
        started: usize,
    },
    /// Replicates must add up to the lead outcome.
    #[error("replicates add up to {sum}, {lead} is {count}")]
    ReplicatesSum {
        /// Of the replicates.
        sum: u32,
        /// The stage's lead outcome.
        lead: &'static str,
        /// Its value.
        count: u16,
    },
}

#[derive(Clone, Copy, PartialEq, Eq, PartialOrd)]
enum Stage {
    Lift,
    Spring,
    Last,
}

impl Stage {
    fn name(self) -> &'static str {
        match self {
            Self::Lift => "lift",
            Self::Spring => "spring",
            Self::Last => "final",
        }
    }
}

/// The first broken rule, arm by arm and stage by stage.
pub(crate) fn check(summary: &Summary) -> Result<(), RuleError> {
    for pair in summary.arms.windows(2) {
        let (first, second) = (pair[0].number, pair[1].number);
        if second <= first {
            return Err(RuleError::ArmOrder { first, second });
        }
    }
    summary.arms.iter().try_for_each(check_arm)
}

fn check_arm(arm: &Arm) -> Result<(), RuleError> {
    if arm.phases.windows(2).any(|pair| pair[1].after_weeks <= pair[0].after_weeks) {
        return Err(RuleError::PhaseOrder { arm: arm.number });
    }
    if let Some(replicates) = &arm.replicates {
        let sum = total(replicates);
        if sum != u32::from(arm.started) {
            return Err(RuleError::ReplicatesStarted { arm: arm.number, sum, started: arm.started });
        }
    }
    stages(&arm.stages).try_for_each(|(stage, counts)| {
        let fault = check_counts(arm, stage, counts);
        fault.map_err(|fault| RuleError::Counts { arm: arm.number, stage: stage.name(), fault })
    })
}

fn stages(stages: &StageCounts) -> impl Iterator<Item = (Stage, &Counts)> {
    let StageCounts { lift, spring, last } = stages;
    let all = [(Stage::Lift, lift), (Stage::Spring, spring), (Stage::Last, last)];
    all.into_iter().filter_map(|(stage, counts)| counts.as_ref().map(|counts| (stage, counts)))
}

fn check_counts(arm: &Arm, stage: Stage, counts: &Counts) -> Result<(), CountFault> {
    check_stage(stage, counts)?;
    check_chain(arm.started, counts)?;
    check_sum(arm.started, counts)?;
    check_replicates(arm, stage, counts)
}

fn check_stage(stage: Stage, counts: &Counts) -> Result<(), CountFault> {
    let early = [
        ("established", counts.established, Stage::Spring),
        ("final", counts.finished, Stage::Last),
        ("left as finished", counts.left_as_finished, Stage::Last),
    ];
    match early.into_iter().find(|(_, count, from)| count.is_some() && stage < *from) {
        Some((name, ..)) => Err(CountFault::WrongStage(name)),
        None => Ok(()),
    }
}

type Named = (&'static str, u32);

fn at_most((part, part_count): Named, (whole, whole_count): Named) -> Result<(), CountFault> {
    if part_count <= whole_count {
        Ok(())
    } else {
        Err(CountFault::Exceeds { part, part_count, whole, whole_count })
    }
}

fn named(name: &'static str, count: Option<u16>) -> Option<Named> {
    count.map(|count| (name, u32::from(count)))
}

/// started ≥ alive ≥ rooted ≥ established ≥ final − left as finished; started ≥ alive ≥ callused.
fn check_chain(started: u16, counts: &Counts) -> Result<(), CountFault> {
    let whole = ("started", u32::from(started));
    for count in [named("final", counts.finished), named("dead", counts.dead), named("lost", counts.lost)] {
        count.map_or(Ok(()), |count| at_most(count, whole))?;
    }
    let alive = named("alive", counts.alive);
    let chain = [
        alive,
        named("rooted", counts.rooted),
        named("established", counts.established),
        still_here(counts)?,
    ];
    let mut bound = whole;
    for count in chain.into_iter().flatten() {
        at_most(count, bound)?;
        bound = count;
    }
    named("callused", counts.callused).map_or(Ok(()), |callused| at_most(callused, alive.unwrap_or(whole)))
}

/// Finished plants that are still with the grower.
fn still_here(counts: &Counts) -> Result<Option<Named>, CountFault> {
    let left = named("left as finished", counts.left_as_finished);
    match (named("final", counts.finished), left) {
        (Some(finished), left) => {
            let left = left.unwrap_or(("left as finished", 0));
            at_most(left, finished)?;
            Ok(Some(("final still here", finished.1 - left.1)))
        }
        (None, Some(_)) => Err(CountFault::Without { part: "left as finished", whole: "final" }),
        (None, None) => Ok(None),
    }
}

/// Pieces are alive, dead, lost or left: never more than were started, and all of them where all are given.
fn check_sum(started: u16, counts: &Counts) -> Result<(), CountFault> {
    let Counts { alive, dead, lost, left_as_finished: left, .. } = counts;
    let count = |n: &Option<u16>| u32::from(n.unwrap_or(0));
    let sum = least_alive(counts) + count(dead) + count(lost) + count(left);
    at_most(("the sum of all counted", sum), ("started", u32::from(started)))?;
    let all_given = [alive, dead, lost, left].iter().all(|n| n.is_some());
    if all_given && sum != u32::from(started) {
        Err(CountFault::DoesNotAddUp { sum, started })
    } else {
        Ok(())
    }
}

/// The fewest that can be alive: every callused, rooted, established or still finished piece is.
fn least_alive(counts: &Counts) -> u32 {
    let left = counts.left_as_finished.unwrap_or(0);
    let here = counts.finished.map(|finished| finished.saturating_sub(left));
    let living = [counts.alive, counts.callused, counts.rooted, counts.established, here];
    living.into_iter().flatten().map(u32::from).max().unwrap_or(0)
}

/// Replicates carry the lead outcome: final at final, else rooted.
fn check_replicates(arm: &Arm, stage: Stage, counts: &Counts) -> Result<(), CountFault> {
    let Some(replicates) = &counts.replicates else { return Ok(()) };
    let (lead, count) =
        if stage == Stage::Last { ("final", counts.finished) } else { ("rooted", counts.rooted) };
    let count = count.ok_or(CountFault::Without { part: "replicates", whole: lead })?;
    let started = arm.replicates.as_deref().unwrap_or_default();
    if replicates.len() != started.len() {
        return Err(CountFault::ReplicateNumber { counted: replicates.len(), started: started.len() });
    }
    for (counted, started) in replicates.iter().zip(started) {
        at_most(("a replicate", u32::from(*counted)), ("its started", u32::from(*started)))?;
    }
    let sum = total(replicates);
    if sum == u32::from(count) { Ok(()) } else { Err(CountFault::ReplicatesSum { sum, lead, count }) }
}

fn total(replicates: &[u16]) -> u32 {
    replicates.iter().map(|n| u32::from(*n)).sum()
}
