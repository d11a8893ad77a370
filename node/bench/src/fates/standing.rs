//! How the pieces of a unit stand, and what a new count does to that.

use super::gone::{Gone, Where};
use super::settle::{Settled, at_most};
use super::{FateFault, Fates, Part, Whole, first};
use crate::dates::When;
use crate::entry::{Law, Tally};
use crate::trial::Stage;

/// The propagules of a unit after all that was entered so far.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Standing {
    /// Each propagule in one state.
    pub fates: Fates,
    /// Of the living, at the last count that said so.
    pub callused: Option<u16>,
    /// Growing on, of the living, at the last count that said so.
    pub established: Option<u16>,
    /// At the grower's own grade, of the living, at the last count that said so.
    pub finished: Option<u16>,
    /// The last day on which roots were looked for on every living propagule.
    pub roots_looked: Option<When>,
    /// Deaths and departures since then that were booked as without roots, oldest first.
    pub(super) unsettled: Vec<Gone>,
}

/// What is done with propagules that a count at a stage does not mention.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Rest {
    /// They live.
    Alive,
    /// They died.
    Dead,
    /// They were not looked at closely enough to say.
    NotKnown,
}

/// Where and by which rules a tally was taken.
#[derive(Clone, Copy, Debug)]
pub struct Taken {
    /// The day.
    pub on: When,
    /// The stage; none for a check.
    pub stage: Option<Stage>,
    /// What became of propagules that are not mentioned, where that was said.
    pub rest: Option<Rest>,
    /// By which rules it is read.
    pub law: Law,
}

impl Standing {
    /// All `started` propagules alive.
    pub fn fresh(started: u16) -> Self {
        Self { fates: Fates::fresh(started), ..Self::default() }
    }

    /// Living propagules that are rooted; `None` where nobody looked for them yet.
    pub fn rooted(&self) -> Option<u16> {
        self.roots_looked.map(|_| self.fates.rooted)
    }

    /// Propagules that ever had roots; `None` where nobody looked for them yet.
    pub fn ever_rooted(&self) -> Option<u16> {
        self.roots_looked.map(|_| self.fates.ever_rooted())
    }

    /// Propagules that went for good since roots were last looked for, booked as without roots until the next look.
    pub fn unsettled(&self) -> u16 {
        let gone = self.unsettled.iter().filter(|gone| gone.place != Where::NotKnown);
        gone.map(|gone| gone.count).sum()
    }

    /// Propagules that the next count has to account for.
    pub fn base(&self) -> u16 {
        self.fates.left_to_count()
    }

    /// The standing after `tally`, and the tally with what follows from it filled in.
    ///
    /// # Errors
    /// When the numbers contradict each other or the last count.
    pub fn after(&self, tally: &Tally, taken: Taken) -> Result<(Self, Tally), FateFault> {
        let mut next = self.clone();
        next.bring_back(tally.found_alive.unwrap_or(0))?;
        let unknown = next.fates.not_known.all();
        let looks = is_looked_at(tally) || taken.stage.is_some() || taken.law == Law::First;
        if looks {
            next.know_again();
        }
        let base = match taken.law {
            Law::First => next.fates.left_to_count(),
            Law::Fates => next.fates.alive(),
        };
        let settled = match taken.law {
            Law::First => first::settle(tally, (base, unknown), taken.stage, taken.rest)?,
            Law::Fates => Settled::of(tally, (base, unknown), taken.stage, taken.rest)?,
        };
        let deaths_with_roots = tally.of_rooted.map(|count| count.min(settled.dead));
        next.take(Where::Dead, settled.dead, deaths_with_roots)?;
        next.take(Where::Lost, settled.lost, None)?;
        next.take(Where::NotKnown, settled.not_known, None)?;
        settled.check_parts(tally)?;
        match settled.rooted {
            Some(rooted) => next.look_for_roots(rooted, taken)?,
            None => next.has_at_least(tally.established.max(tally.finished).unwrap_or(0)),
        }
        next.mark(tally);
        Ok((next, if looks { settled.into_tally(tally) } else { tally.clone() }))
    }

    /// The standing after `pieces` left; rooted ones go first.
    ///
    /// # Errors
    /// When there are not so many.
    pub fn left(&self, pieces: u16, at_grade: bool) -> Result<Self, FateFault> {
        at_most(Part::Left, pieces, self.fates.alive(), Whole::WereAlive)?;
        let mut next = self.clone();
        let place = if at_grade { Where::Finished } else { Where::Below };
        next.take(place, pieces, Some(pieces.min(self.fates.rooted)))?;
        next.mark(&Tally::default());
        Ok(next)
    }

    /// Propagules that were counted dead and are not.
    fn bring_back(&mut self, found: u16) -> Result<(), FateFault> {
        at_most(Part::FoundAlive, found, self.fates.dead.all(), Whole::WereDead)?;
        let without = found.min(self.fates.dead.without);
        self.fates.dead.without -= without;
        self.fates.waiting += without;
        self.fates.dead.with -= found - without;
        self.fates.rooted += found - without;
        let mut back = without;
        for gone in self.unsettled.iter_mut().rev().filter(|gone| gone.place == Where::Dead) {
            let these = back.min(gone.count);
            gone.count -= these;
            back -= these;
        }
        Ok(())
    }

    /// What was not known is looked at again.
    fn know_again(&mut self) {
        self.fates.waiting += self.fates.not_known.without;
        self.fates.rooted += self.fates.not_known.with;
        self.fates.not_known = super::Column::default();
        self.unsettled.retain(|gone| gone.place != Where::NotKnown);
    }

    /// Moves living propagules; without `with_roots` those that wait go first, and it stays open which they were.
    fn take(&mut self, place: Where, pieces: u16, with_roots: Option<u16>) -> Result<(), FateFault> {
        let with = with_roots.unwrap_or_else(|| pieces.saturating_sub(self.fates.waiting));
        let without = pieces - with;
        at_most(Part::GoneWith, with, self.fates.rooted, Whole::HadRoots)?;
        at_most(Part::GoneWithout, without, self.fates.waiting, Whole::HadNone)?;
        self.fates.rooted -= with;
        self.fates.waiting -= without;
        let column = self.fates.column(place);
        column.with += with;
        column.without += without;
        if with_roots.is_none() && without > 0 {
            self.unsettled.push(Gone { place, count: without });
        }
        Ok(())
    }

    /// Roots were looked for: those that are missing are among the propagules that went since, the latest first.
    fn look_for_roots(&mut self, rooted: u16, taken: Taken) -> Result<(), FateFault> {
        let mut short = self.fates.rooted.saturating_sub(rooted);
        for gone in self.unsettled.iter_mut().rev() {
            let these = short.min(gone.count);
            short -= these;
            gone.count -= these;
            let column = self.fates.column(gone.place);
            column.without -= these;
            column.with += these;
            self.fates.rooted -= these;
            self.fates.waiting += these;
        }
        match taken.law {
            // Under the first rules fewer roots than before were taken as they came.
            Law::First => {
                self.fates.waiting += short;
                self.fates.rooted -= short;
            }
            Law::Fates if short > 0 => {
                return Err(FateFault::RootsGone { short, since: self.roots_looked });
            }
            Law::Fates => {}
        }
        self.has_at_least(rooted);
        self.unsettled.clear();
        self.roots_looked = Some(taken.on);
        Ok(())
    }

    /// So many of the living have roots at least.
    fn has_at_least(&mut self, rooted: u16) {
        let more = rooted.saturating_sub(self.fates.rooted).min(self.fates.waiting);
        self.fates.waiting -= more;
        self.fates.rooted += more;
    }

    /// Marks of the living, which are never more than there are.
    fn mark(&mut self, tally: &Tally) {
        let (alive, rooted) = (self.fates.alive(), self.fates.rooted);
        let newest = |new: Option<u16>, old: Option<u16>, most: u16| new.or(old).map(|n| n.min(most));
        self.callused = newest(tally.callused, self.callused, alive);
        self.established = newest(tally.established, self.established, rooted);
        self.finished = newest(tally.finished, self.finished, rooted);
    }
}

/// Whether a tally says anything of propagules that were not known before.
fn is_looked_at(tally: &Tally) -> bool {
    [
        tally.alive,
        tally.green,
        tally.rooted,
        tally.dead,
        tally.lost,
        tally.callused,
        tally.established,
        tally.finished,
    ]
    .iter()
    .any(Option::is_some)
}
