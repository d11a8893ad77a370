//! What a tally leaves open, worked out.

use super::{FateFault, Part, Rest, Whole};
use crate::entry::Tally;
use crate::trial::Stage;

/// A tally in which every piece has its place; roots are `None` where they were not looked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Settled {
    pub(super) alive: u16,
    pub(super) dead: u16,
    pub(super) lost: u16,
    pub(super) not_known: u16,
    pub(super) rooted: Option<u16>,
}

impl Settled {
    /// Settles a tally of `base` pieces, of which `unknown` were not known before.
    pub(super) fn of(
        tally: &Tally,
        (base, unknown): (u16, u16),
        stage: Option<Stage>,
        rest: Option<Rest>,
    ) -> Result<Self, FateFault> {
        let given = |count: Option<u16>| count.unwrap_or(0);
        let (lost, not_known) = (given(tally.lost), given(tally.not_known));
        let gone = u32::from(given(tally.dead)) + u32::from(lost) + u32::from(not_known);
        let living = tally.alive.or_else(|| Some(tally.green?.saturating_add(tally.rooted?)));
        let mut settled = Self { alive: 0, dead: given(tally.dead), lost, not_known, rooted: None };
        if let Some(alive) = living {
            at_most(Part::Living, alive, base, Whole::Left)?;
        }
        let open = u32::from(base).checked_sub(gone).and_then(|open| u16::try_from(open).ok());
        let Some(open) = open else { return Err(settled.sum_fault(living.unwrap_or(0), base)) };
        settled.alive = match (living, stage) {
            (Some(alive), None) => {
                if tally.dead.is_none() {
                    settled.dead = open.saturating_sub(alive);
                }
                alive
            }
            // Between the stages whoever is not mentioned is as last time.
            (None, None) => open,
            (living, Some(_)) => {
                let living = living.unwrap_or_else(|| least_alive(tally));
                at_most(Part::Living, living, base, Whole::Left)?;
                if living > open {
                    return Err(settled.sum_fault(living, base));
                }
                settled.place_rest(living, open - living, (base, unknown), rest)?
            }
        };
        if u32::from(settled.alive) + settled.gone() != u32::from(base) {
            return Err(settled.sum_fault(settled.alive, base));
        }
        settled.rooted = settled.roots(tally, base)?;
        Ok(settled)
    }

    fn gone(&self) -> u32 {
        u32::from(self.dead) + u32::from(self.lost) + u32::from(self.not_known)
    }

    fn sum_fault(&self, alive: u16, base: u16) -> FateFault {
        let Self { dead, lost, not_known, .. } = *self;
        FateFault::Sum { alive, dead, lost, not_known, sum: u32::from(alive) + self.gone(), base }
    }

    /// Puts pieces that a count at a stage does not mention where `rest` says; returns how many live.
    fn place_rest(
        &mut self,
        living: u16,
        missing: u16,
        (base, unknown): (u16, u16),
        rest: Option<Rest>,
    ) -> Result<u16, FateFault> {
        match rest.or_else(|| (missing <= unknown).then_some(Rest::NotKnown)) {
            _ if missing == 0 => Ok(living),
            Some(Rest::Alive) => Ok(living + missing),
            Some(Rest::Dead) => {
                self.dead += missing;
                Ok(living)
            }
            Some(Rest::NotKnown) => {
                self.not_known += missing;
                Ok(living)
            }
            None => Err(FateFault::Unaccounted { count: missing, base }),
        }
    }

    /// How many living pieces have roots, where the tally says so or leaves no room for any.
    fn roots(&self, tally: &Tally, base: u16) -> Result<Option<u16>, FateFault> {
        let alive = self.alive;
        if let Some(rooted) = tally.rooted {
            at_most(Part::Rooted, rooted, alive, Whole::Alive)?;
            let green = tally.green.filter(|_| tally.alive.is_some());
            return match green.map(|green| green.saturating_add(rooted)) {
                Some(living) if living != alive => Err(self.sum_fault(living, base)),
                _ => Ok(Some(rooted)),
            };
        }
        if let Some(green) = tally.green {
            at_most(Part::Green, green, alive, Whole::Alive)?;
            return if tally.alive.is_some() || green == alive {
                Ok(Some(alive - green))
            } else {
                Err(FateFault::GreenOnly { green, alive })
            };
        }
        let surely = tally.established.max(tally.finished);
        if surely == Some(alive) && alive > 0 {
            return Ok(Some(alive));
        }
        // Where nothing is left that could have roots, there are none: that is a finding.
        Ok((alive == 0 && self.not_known == 0 && base > 0).then_some(0))
    }

    /// Parts of the living are never more than the whole.
    pub(super) fn check_parts(&self, tally: &Tally) -> Result<(), FateFault> {
        for (part, count) in parts(tally) {
            at_most(part, count.unwrap_or(0), self.alive, Whole::Alive)?;
        }
        if let (Some(established), Some(rooted)) = (tally.established, self.rooted) {
            at_most(Part::Established, established, rooted, Whole::Rooted)?;
        }
        if let (Some(finished), Some(rooted)) = (tally.finished, self.rooted) {
            at_most(Part::Finished, finished, rooted, Whole::Rooted)?;
        }
        Ok(())
    }

    /// The tally with what follows from it.
    pub(super) fn into_tally(self, tally: &Tally) -> Tally {
        Tally {
            alive: Some(self.alive),
            dead: (self.dead > 0 || tally.dead.is_some()).then_some(self.dead),
            lost: (self.lost > 0 || tally.lost.is_some()).then_some(self.lost),
            not_known: (self.not_known > 0 || tally.not_known.is_some()).then_some(self.not_known),
            rooted: self.rooted,
            green: self.rooted.map(|rooted| self.alive - rooted),
            ..tally.clone()
        }
    }
}

/// Counts that are parts of alive.
pub(super) fn parts(tally: &Tally) -> [(Part, Option<u16>); 4] {
    [
        (Part::Rooted, tally.rooted),
        (Part::Callused, tally.callused),
        (Part::Established, tally.established),
        (Part::Finished, tally.finished),
    ]
}

/// So many live at least, by what is said of them.
fn least_alive(tally: &Tally) -> u16 {
    let green =
        tally.green.map(|green| green.saturating_add(tally.established.max(tally.finished).unwrap_or(0)));
    parts(tally).into_iter().filter_map(|(_, count)| count).chain(green).max().unwrap_or(0)
}

/// Refuses more than there are.
pub(super) fn at_most(part: Part, count: u16, of: u16, whole: Whole) -> Result<(), FateFault> {
    if count > of { Err(FateFault::TooMany { part, count, of, whole }) } else { Ok(()) }
}
