//! The walk as a machine: it says what to ask, is told what was typed, and knows nothing of terminals.

use propagule_bench::typed::cell::{Cell, Numbers};
use propagule_files::fault::Fault;

/// A pot as it stood at the last look.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Pot {
    pub(super) code: String,
    pub(super) arm: String,
    pub(super) alive: u16,
    /// Pieces that a count has to account for.
    pub(super) left: u16,
    pub(super) last_look: Option<String>,
}

/// What comes next.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Step {
    /// This is asked.
    Ask(String),
    /// All pots are done: a cell for each, and what changed in words.
    Done { cells: Vec<String>, summary: String },
    /// It was stopped.
    Stopped,
}

/// Where somebody is along the bench.
#[derive(Debug)]
pub(super) struct Walk {
    pots: Vec<Pot>,
    cells: Vec<String>,
    is_blind: bool,
    is_stopped: bool,
}

impl Walk {
    /// At the first pot.
    pub(super) fn new(pots: Vec<Pot>, is_blind: bool) -> Self {
        Self { pots, cells: Vec::new(), is_blind, is_stopped: false }
    }

    /// What comes next.
    pub(super) fn step(&self) -> Step {
        if self.is_stopped {
            return Step::Stopped;
        }
        match self.pots.get(self.cells.len()) {
            Some(pot) => Step::Ask(self.prompt(pot)),
            None => Step::Done { cells: self.cells.clone(), summary: self.summary() },
        }
    }

    fn prompt(&self, pot: &Pot) -> String {
        let arm =
            if self.is_blind || pot.arm == pot.code { String::new() } else { format!(" ({})", pot.arm) };
        let at = format!("{}/{}", self.cells.len() + 1, self.pots.len());
        let look = pot.last_look.as_ref().map_or("put in".to_owned(), |day| format!("on {day}"));
        format!("{at}  {}{arm}, {} alive {look}: ", pot.code, pot.alive)
    }

    /// Ends it without anything to save.
    pub(super) fn stop(&mut self) {
        self.is_stopped = true;
    }

    /// Takes what was typed.
    ///
    /// # Errors
    /// Why it is not understood or cannot be; the same pot is asked again.
    pub(super) fn answer(&mut self, line: &str) -> Result<(), Fault> {
        let line = line.trim();
        match line.to_ascii_lowercase().as_str() {
            "q" => self.stop(),
            "b" => {
                self.cells.pop().ok_or_else(|| Fault::user("walk-first-pot"))?;
            }
            "" => self.cells.push("=".to_owned()),
            _ => {
                let Some(pot) = self.pots.get(self.cells.len()) else { return Ok(()) };
                let cell = Cell::read(line)?;
                fits(pot, cell)?;
                self.cells.push(line.to_owned());
            }
        }
        Ok(())
    }

    /// Pots that are not as before.
    fn summary(&self) -> String {
        let is_changed = |cell: &&String| *cell != "=";
        let changed: Vec<String> = self
            .pots
            .iter()
            .zip(&self.cells)
            .filter(|(_, cell)| is_changed(cell))
            .map(|(pot, cell)| format!("{} {} \u{2192} {cell}", pot.code, pot.alive))
            .collect();
        if changed.is_empty() { "All as before.".to_owned() } else { changed.join(", ") }
    }
}

/// More than there are is a slip that is best mended at the pot.
fn fits(pot: &Pot, cell: Cell) -> Result<(), Fault> {
    let Cell::Counted(Numbers { count, dead, lost, is_found: false, .. }) = cell else { return Ok(()) };
    let sum = u32::from(count) + u32::from(dead.unwrap_or(0)) + u32::from(lost.unwrap_or(0));
    if sum <= u32::from(pot.left) {
        return Ok(());
    }
    Err(Fault::user("walk-more-than-left")
        .with("pot", &pot.code)
        .with("left", pot.left)
        .with("sum", sum)
        .with("count", count))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn pots() -> Vec<Pot> {
        let pot = |code: &str, arm: &str, alive| Pot {
            code: code.to_owned(),
            arm: arm.to_owned(),
            alive,
            left: alive,
            last_look: None,
        };
        vec![pot("P1", "dip", 12), pot("P2", "none", 10), pot("P3", "dip", 12)]
    }

    fn walked(lines: &[&str]) -> Walk {
        let mut walk = Walk::new(pots(), false);
        for line in lines {
            let _ = walk.answer(line);
        }
        walk
    }

    #[test]
    fn a_line_a_pot_and_then_it_is_done() {
        let walk = walked(&["", "9", "11r3"]);
        let Step::Done { cells, summary } = walk.step() else { panic!("{:?}", walk.step()) };
        assert_eq!(cells, ["=", "9", "11r3"]);
        assert_eq!(summary, "P2 10 \u{2192} 9, P3 12 \u{2192} 11r3");
        let Step::Done { summary, .. } = walked(&["", "", ""]).step() else { panic!() };
        assert_eq!(summary, "All as before.");
    }

    #[test]
    fn one_goes_back_and_stops_at_any_pot() {
        let walk = walked(&["11", "b", "b", "10"]);
        assert_eq!(walk.step(), Step::Ask("2/3  P2 (none), 10 alive put in: ".to_owned()));
        assert_eq!(walk.cells, ["10"]);
        assert_eq!(walked(&["11", "q"]).step(), Step::Stopped);
    }

    #[test]
    fn a_slip_is_asked_for_again_and_arms_can_be_hidden() {
        let mut walk = Walk::new(pots(), true);
        for slip in ["x", "13", "11l2", "12d1"] {
            assert!(walk.answer(slip).is_err(), "{slip}");
        }
        assert_eq!(walk.step(), Step::Ask("1/3  P1, 12 alive put in: ".to_owned()));
        assert_eq!(walk.answer("12!"), Ok(()));
    }

    #[test]
    fn an_unchanged_pot_is_one_key_and_a_changed_one_three_at_most() {
        let keys = |line: &str| line.len() + 1;
        assert_eq!(keys(""), 1);
        assert!(["9", "11"].into_iter().all(|line| keys(line) <= 3));
    }

    proptest! {
        /// Whatever is typed, there is never more than a cell for each pot, and each of them can be read.
        #[test]
        fn cells_never_outrun_the_pots(lines in proptest::collection::vec("[0-9bqrdl!.= ]{0,4}", 0..12)) {
            let mut walk = Walk::new(pots(), false);
            for line in &lines {
                let _ = walk.answer(line);
                prop_assert!(walk.cells.len() <= 3);
                prop_assert!(walk.cells.iter().all(|cell| Cell::read(cell).is_ok()));
                if !matches!(walk.step(), Step::Ask(_)) { break; }
            }
        }
    }
}
