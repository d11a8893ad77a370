//! The rules once more, as plainly as their text reads, to hold the program against.

use super::{Fates, Step};
use crate::entry::Tally;

/// States in the order: waiting, rooted, then without and with roots of not known, dead, lost, finished, below.
type States = [i32; 12];

const WAITING: usize = 0;
const ROOTED: usize = 1;
const NOT_KNOWN: usize = 2;
const DEAD: usize = 4;
const LOST: usize = 6;
const FINISHED: usize = 8;
const BELOW: usize = 10;

/// One pot.
pub(super) struct Unit {
    states: States,
    /// Gone since the last look for roots: where, and how many.
    gone: Vec<(usize, i32)>,
    pub(super) looked: bool,
}

pub(super) fn states_of(fates: Fates) -> States {
    let columns = [fates.not_known, fates.dead, fates.lost, fates.finished, fates.below];
    let mut states = [0; 12];
    states[WAITING] = fates.waiting.into();
    states[ROOTED] = fates.rooted.into();
    for (index, column) in columns.into_iter().enumerate() {
        states[2 + 2 * index] = column.without.into();
        states[3 + 2 * index] = column.with.into();
    }
    states
}

impl Unit {
    pub(super) fn new(started: u16) -> Self {
        let mut states = [0; 12];
        states[WAITING] = started.into();
        Self { states, gone: Vec::new(), looked: false }
    }

    pub(super) fn states(&self) -> States {
        self.states
    }

    /// Plays a step; refused, it changes nothing.
    pub(super) fn play(&mut self, step: &Step) -> bool {
        let before = (self.states, self.gone.clone(), self.looked);
        let done = match step {
            Step::Tally(tally) => self.count(tally),
            Step::Left(pieces, at_grade) => {
                let place = if *at_grade { FINISHED } else { BELOW };
                let pieces = i32::from(*pieces);
                self.take(place, pieces, Some(pieces.min(self.states[ROOTED])))
            }
        };
        if done.is_none() {
            (self.states, self.gone, self.looked) = before;
        }
        done.is_some()
    }

    fn alive(&self) -> i32 {
        self.states[WAITING] + self.states[ROOTED]
    }

    /// Living pieces go somewhere, those without roots first unless it is said.
    fn take(&mut self, place: usize, count: i32, said: Option<i32>) -> Option<()> {
        let with = said.unwrap_or((count - self.states[WAITING]).max(0));
        if with > self.states[ROOTED] || count - with > self.states[WAITING] {
            return None;
        }
        self.states[ROOTED] -= with;
        self.states[WAITING] -= count - with;
        self.states[place] += count - with;
        self.states[place + 1] += with;
        if said.is_none() && count > with {
            self.gone.push((place, count - with));
        }
        Some(())
    }

    fn found_alive(&mut self, found: i32) -> Option<()> {
        if found > self.states[DEAD] + self.states[DEAD + 1] {
            return None;
        }
        let mut without = found.min(self.states[DEAD]);
        self.states[DEAD] -= without;
        self.states[WAITING] += without;
        self.states[DEAD + 1] -= found - without;
        self.states[ROOTED] += found - without;
        for (_, count) in self.gone.iter_mut().rev().filter(|(place, _)| *place == DEAD) {
            let these = without.min(*count);
            *count -= these;
            without -= these;
        }
        Some(())
    }

    fn count(&mut self, tally: &Tally) -> Option<()> {
        let number = |count: Option<u16>| count.map(i32::from);
        let [alive, green, rooted, dead, lost, not_known] =
            [tally.alive, tally.green, tally.rooted, tally.dead, tally.lost, tally.not_known].map(number);
        self.found_alive(number(tally.found_alive).unwrap_or(0))?;
        if [alive, green, rooted, dead, lost].iter().any(Option::is_some) {
            self.states[WAITING] += std::mem::take(&mut self.states[NOT_KNOWN]);
            self.states[ROOTED] += std::mem::take(&mut self.states[NOT_KNOWN + 1]);
            self.gone.retain(|(place, _)| *place != NOT_KNOWN);
        }
        let base = self.alive();
        let (gone_lost, gone_not_known) = (lost.unwrap_or(0), not_known.unwrap_or(0));
        let typed = alive.or(green.zip(rooted).map(|(green, rooted)| green + rooted));
        let living = typed.unwrap_or(base - dead.unwrap_or(0) - gone_lost - gone_not_known);
        let died = dead.unwrap_or(base - living - gone_lost - gone_not_known);
        if living + died + gone_lost + gone_not_known != base || living < 0 || died < 0 {
            return None;
        }
        self.take(DEAD, died, None)?;
        self.take(LOST, gone_lost, None)?;
        self.take(NOT_KNOWN, gone_not_known, None)?;
        let roots = match (rooted, green) {
            // All three given must agree.
            (Some(rooted), Some(green)) if alive.is_some() && rooted + green != living => return None,
            (Some(rooted), _) => Some(rooted),
            (None, Some(green)) if alive.is_some() || green == living => Some(living - green),
            (None, Some(_)) => return None,
            (None, None) => {
                (living == 0 && self.states[NOT_KNOWN] + self.states[NOT_KNOWN + 1] == 0 && base > 0)
                    .then_some(0)
            }
        };
        if let Some(roots) = roots {
            self.look(roots, living)?;
        }
        Some(())
    }

    fn look(&mut self, roots: i32, living: i32) -> Option<()> {
        if roots < 0 || roots > living {
            return None;
        }
        let mut short = self.states[ROOTED] - roots;
        for (place, count) in self.gone.iter_mut().rev() {
            let these = short.max(0).min(*count);
            short -= these;
            self.states[*place] -= these;
            self.states[*place + 1] += these;
            self.states[ROOTED] -= these;
            self.states[WAITING] += these;
        }
        if short > 0 {
            return None;
        }
        self.states[WAITING] += self.states[ROOTED] - roots;
        self.states[ROOTED] = roots;
        self.looked = true;
        self.gone.clear();
        Some(())
    }
}
