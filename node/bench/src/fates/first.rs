//! The rules by which entries of the first version were taken; those stand in older journals and are read as then.

use super::settle::{Settled, at_most, parts};
use super::{FateFault, Part, Rest, Whole};
use crate::entry::Tally;
use crate::trial::Stage;

/// Works out what the given numbers leave open; pieces that were not known before stay so when nothing is said.
pub(super) fn settle(
    tally: &Tally,
    (base, unknown): (u16, u16),
    stage: Option<Stage>,
    rest: Option<Rest>,
) -> Result<Settled, FateFault> {
    let given = |count: Option<u16>| count.unwrap_or(0);
    let mut settled = Settled {
        alive: 0,
        dead: given(tally.dead),
        lost: given(tally.lost),
        not_known: given(tally.not_known),
        rooted: None,
    };
    let gone = settled.dead.saturating_add(settled.lost).saturating_add(settled.not_known);
    let open = base.saturating_sub(gone);
    let rest_of = |missing: u16| rest.or_else(|| (missing <= unknown).then_some(Rest::NotKnown));
    let (living, must_be_whole) = match (tally.alive, stage, rest_of(u16::MAX)) {
        (Some(alive), ..) => (alive, stage.is_some()),
        (None, None, _) | (None, Some(_), Some(Rest::Alive)) => (open, false),
        (None, Some(_), _) => (parts(tally).into_iter().filter_map(|(_, n)| n).max().unwrap_or(0), true),
    };
    settled.alive = living;
    let missing = open.saturating_sub(living);
    match rest_of(missing) {
        _ if missing == 0 => {}
        Some(Rest::Dead) => settled.dead += missing,
        Some(Rest::NotKnown) => settled.not_known += missing,
        Some(Rest::Alive) => settled.alive += missing,
        None if must_be_whole => return Err(FateFault::Unaccounted { count: missing, base }),
        None => {}
    }
    at_most(Part::Living, settled.alive, base, Whole::Left)?;
    let Settled { alive, dead, lost, not_known, .. } = settled;
    let sum = [alive, dead, lost, not_known].into_iter().map(u32::from).sum::<u32>();
    if sum != u32::from(base) {
        return Err(FateFault::Sum { alive, dead, lost, not_known, sum, base });
    }
    let nothing_left = alive == 0 && not_known == 0 && base > 0;
    settled.rooted = tally.rooted.or(nothing_left.then_some(0));
    Ok(settled)
}
