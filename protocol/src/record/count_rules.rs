//! Rules that hold between the counts of one arm.
//!
//! Summaries of major 0 are judged by the rules that they were signed under, for ever; those of major 1 by
//! rules that let pieces leave as finished at any stage and keep apart what had roots and what still has.

use super::{Arm, Counts, Stage};

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
    /// Replicates must add up to the lead outcome, and their lost pieces to lost.
    #[error("replicates add up to {sum}, {lead} is {count}")]
    ReplicatesSum {
        /// Of the replicates.
        sum: u32,
        /// What they are parts of.
        lead: &'static str,
        /// Its value.
        count: u16,
    },
    /// Pieces that ever had roots cannot become fewer.
    #[error("ever rooted {here} is fewer than {before} at an earlier stage")]
    Falls {
        /// At this stage.
        here: u16,
        /// At an earlier one.
        before: u16,
    },
}

/// The rules of major 1.
pub(super) fn check(arm: &Arm, stage: Stage, counts: &Counts) -> Result<(), CountFault> {
    check_stage(stage, counts)?;
    check_chain(arm.started, counts)?;
    check_sum(arm.started, counts, alive(counts))?;
    check_ever_rooted(arm, stage, counts)?;
    let lead = match stage {
        Stage::Last => ("final", counts.finished),
        _ if counts.left_as_finished.is_some() => ("rooted and left as finished", counts.rooted_and_left()),
        _ => ("rooted", counts.rooted),
    };
    check_replicates(arm, lead, counts)?;
    check_lost_by_replicate(arm, counts)
}

/// The rules of major 0.
pub(super) fn check_old(arm: &Arm, stage: Stage, counts: &Counts) -> Result<(), CountFault> {
    check_stage(stage, counts)?;
    check_old_left(stage, counts)?;
    check_old_chain(arm.started, counts)?;
    check_sum(arm.started, counts, least_alive(counts))?;
    let lead = if stage == Stage::Last { ("final", counts.finished) } else { ("rooted", counts.rooted) };
    check_replicates(arm, lead, counts)
}

fn check_stage(stage: Stage, counts: &Counts) -> Result<(), CountFault> {
    let early = [("established", counts.established, Stage::Season), ("final", counts.finished, Stage::Last)];
    match early.into_iter().find(|(_, count, from)| count.is_some() && stage < *from) {
        Some((name, ..)) => Err(CountFault::WrongStage(name)),
        None => Ok(()),
    }
}

fn check_old_left(stage: Stage, counts: &Counts) -> Result<(), CountFault> {
    let is_early = counts.left_as_finished.is_some() && stage != Stage::Last;
    if is_early { Err(CountFault::WrongStage("left as finished")) } else { Ok(()) }
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

fn all_at_most<const N: usize>(counts: [Option<Named>; N], whole: Named) -> Result<(), CountFault> {
    counts.into_iter().flatten().try_for_each(|count| at_most(count, whole))
}

/// Each count at most the one before it, over those that are given.
fn check_falling<const N: usize>(chain: [Option<Named>; N], whole: Named) -> Result<(), CountFault> {
    let mut bound = whole;
    for count in chain.into_iter().flatten() {
        at_most(count, bound)?;
        bound = count;
    }
    Ok(())
}

/// started ≥ alive ≥ rooted ≥ established ≥ final − left as finished; started ≥ alive ≥ callused.
fn check_old_chain(started: u16, counts: &Counts) -> Result<(), CountFault> {
    let whole = ("started", u32::from(started));
    let Counts { alive, callused, rooted, established, finished, dead, lost, .. } = counts;
    all_at_most([named("final", *finished), named("dead", *dead), named("lost", *lost)], whole)?;
    let alive = named("alive", *alive);
    let chain =
        [alive, named("rooted", *rooted), named("established", *established), old_still_here(counts)?];
    check_falling(chain, whole)?;
    all_at_most([named("callused", *callused)], alive.unwrap_or(whole))
}

/// Finished plants that did not leave.
fn old_still_here(counts: &Counts) -> Result<Option<Named>, CountFault> {
    match (counts.finished, counts.left_as_finished) {
        (Some(_), _) => still_here(counts),
        (None, Some(_)) => Err(CountFault::Without { part: "left as finished", whole: "final" }),
        (None, None) => Ok(None),
    }
}

/// Finished plants that did not leave, where finished plants were counted.
fn still_here(counts: &Counts) -> Result<Option<Named>, CountFault> {
    let Some(finished) = counts.finished.map(u32::from) else { return Ok(None) };
    let left = u32::from(counts.left_as_finished.unwrap_or(0));
    at_most(("left as finished", left), ("final", finished))?;
    Ok(Some(("final still here", finished - left)))
}

/// started ≥ alive ≥ callused; alive + left as finished ≥ rooted ≥ established ≥ final − left as finished;
/// started ≥ rooted + left as finished.
fn check_chain(started: u16, counts: &Counts) -> Result<(), CountFault> {
    let whole = ("started", u32::from(started));
    let Counts { alive, callused, rooted, established, finished, dead, lost, left_as_finished: left, .. } =
        counts;
    let parts = [
        named("alive", *alive),
        named("callused", *callused),
        named("final", *finished),
        named("dead", *dead),
        named("lost", *lost),
        named("left as finished", *left),
    ];
    all_at_most(parts, whole)?;
    let left = u32::from(left.unwrap_or(0));
    let alive = named("alive", *alive);
    let standing = alive.map(|(_, alive)| match left {
        0 => ("alive", alive),
        _ => ("alive and left as finished", alive + left),
    });
    let chain = [named("rooted", *rooted), named("established", *established), still_here(counts)?];
    check_falling(chain, standing.unwrap_or(whole))?;
    all_at_most([named("callused", *callused)], alive.unwrap_or(whole))?;
    let rooted_and_left = rooted.map(|rooted| ("rooted and left as finished", u32::from(rooted) + left));
    all_at_most([rooted_and_left], whole)
}

/// Pieces are alive, dead, lost or left: never more than were started, and all of them where all are given.
fn check_sum(started: u16, counts: &Counts, least_alive: u32) -> Result<(), CountFault> {
    let Counts { alive, dead, lost, left_as_finished: left, .. } = counts;
    let count = |n: &Option<u16>| u32::from(n.unwrap_or(0));
    let sum = least_alive + count(dead) + count(lost) + count(left);
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

/// Those alive, or the fewest that can be where they were not counted.
fn alive(counts: &Counts) -> u32 {
    counts.alive.map_or_else(|| least_alive(counts), u32::from)
}

/// rooted ≤ ever rooted ≤ started, and never fewer than at an earlier stage.
fn check_ever_rooted(arm: &Arm, stage: Stage, counts: &Counts) -> Result<(), CountFault> {
    let Some(here) = counts.ever_rooted else { return Ok(()) };
    let ever = ("ever rooted", u32::from(here));
    at_most(ever, ("started", u32::from(arm.started)))?;
    all_at_most([named("rooted", counts.rooted)], ever)?;
    let before = arm.stages.ever_rooted_before(stage);
    if here < before { Err(CountFault::Falls { here, before }) } else { Ok(()) }
}

/// Replicates carry the lead outcome.
fn check_replicates(arm: &Arm, lead: (&'static str, Option<u16>), counts: &Counts) -> Result<(), CountFault> {
    let Some(replicates) = &counts.replicates else { return Ok(()) };
    let (lead, count) = lead;
    let count = count.ok_or(CountFault::Without { part: "replicates", whole: lead })?;
    check_list(arm, replicates, ("a replicate", lead, count))
}

/// As many as were started, none above its own, adding up to the count of the arm.
fn check_list(
    arm: &Arm,
    list: &[u16],
    (one, whole, count): (&'static str, &'static str, u16),
) -> Result<(), CountFault> {
    let started = arm.replicates.as_deref().unwrap_or_default();
    if list.len() != started.len() {
        return Err(CountFault::ReplicateNumber { counted: list.len(), started: started.len() });
    }
    for (counted, started) in list.iter().zip(started) {
        at_most((one, u32::from(*counted)), ("its started", u32::from(*started)))?;
    }
    let sum = total(list);
    if sum == u32::from(count) { Ok(()) } else { Err(CountFault::ReplicatesSum { sum, lead: whole, count }) }
}

/// Lost pieces of each replicate stand beside its outcome, and only where any were lost.
fn check_lost_by_replicate(arm: &Arm, counts: &Counts) -> Result<(), CountFault> {
    let Some(lost) = &counts.lost_by_replicate else { return Ok(()) };
    let part = "lost by replicate";
    let outcome = counts.replicates.as_ref().ok_or(CountFault::Without { part, whole: "replicates" })?;
    let count = counts.lost.filter(|lost| *lost > 0).ok_or(CountFault::Without { part, whole: "lost" })?;
    check_list(arm, lost, ("lost of a replicate", "lost", count))?;
    let started = arm.replicates.iter().flatten();
    for ((outcome, lost), started) in outcome.iter().zip(lost).zip(started) {
        let sum = u32::from(*outcome) + u32::from(*lost);
        at_most(("a replicate with its lost pieces", sum), ("its started", u32::from(*started)))?;
    }
    Ok(())
}

pub(super) fn total(replicates: &[u16]) -> u32 {
    replicates.iter().map(|n| u32::from(*n)).sum()
}
