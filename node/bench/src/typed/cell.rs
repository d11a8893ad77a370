//! One cell of a row of counts: `11`, `11r3`, `8l2`, `11!`, `=` for as before, `.` for not looked at.

use std::fmt;

use propagule_files::fault::Fault;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::entry::Tally;
use crate::fates::Standing;
use crate::trial::Stage;

/// What stands in a cell.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Cell {
    /// Nobody looked: the pot is carried.
    NotLooked,
    /// Looked at, and as before.
    AsBefore,
    /// Counted.
    Counted(Numbers),
}

/// Numbers of a cell.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(default)]
pub struct Numbers {
    /// The first number: alive at a check, the lead outcome at a stage.
    pub count: u16,
    /// Rooted, within those.
    pub rooted: Option<u16>,
    /// Without roots.
    pub green: Option<u16>,
    /// Dead since the last look.
    pub dead: Option<u16>,
    /// Lost since the last look.
    pub lost: Option<u16>,
    /// Some that were counted dead are alive.
    pub is_found: bool,
}

impl fmt::Display for Numbers {
    /// As they are typed: `8r3d2l1`; letters without propagules are left out.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.count)?;
        let letters = [(self.rooted, 'r'), (self.green, 'g'), (self.dead, 'd'), (self.lost, 'l')];
        for (number, letter) in letters {
            if let Some(number) = number.filter(|number| *number > 0) {
                write!(f, "{letter}{number}")?;
            }
        }
        f.write_str(if self.is_found { "!" } else { "" })
    }
}

/// Whether something typed is a cell or several, and not a count with its words.
pub fn is_row(text: &str) -> bool {
    !text.contains(':') && text.starts_with(|c: char| c.is_ascii_digit() || ".=-".contains(c))
}

/// The cells of something typed, parted by spaces, commas or semicolons.
pub fn parts(text: &str) -> impl Iterator<Item = &str> {
    text.split([',', ';', ' ', '\t']).map(str::trim).filter(|part| !part.is_empty())
}

impl Cell {
    /// Reads one cell.
    ///
    /// # Errors
    /// When it is neither a sign nor a number with letters and numbers behind it.
    pub fn read(text: &str) -> Result<Self, Fault> {
        match text.trim() {
            "." | "-" => return Ok(Self::NotLooked),
            "=" => return Ok(Self::AsBefore),
            _ => {}
        }
        let (count, mut rest) =
            leading(text.trim()).ok_or_else(|| Fault::user("cell-without-number").with("text", text))?;
        let mut numbers = Numbers { count, ..Numbers::default() };
        while let Some(letter) = rest.chars().next() {
            rest = &rest[letter.len_utf8()..];
            if letter == '!' && !numbers.is_found {
                numbers.is_found = true;
                continue;
            }
            let slot = match letter.to_ascii_lowercase() {
                'r' => &mut numbers.rooted,
                'g' => &mut numbers.green,
                'd' => &mut numbers.dead,
                'l' => &mut numbers.lost,
                _ => {
                    return Err(Fault::user("cell-letter-unknown").with("text", text).with("letter", letter));
                }
            };
            let (number, behind) =
                leading(rest).ok_or_else(|| Fault::user("cell-letter-without-number").with("text", text))?;
            rest = behind;
            if slot.replace(number).is_some() {
                return Err(Fault::user("cell-letter-twice").with("text", text).with("letter", letter));
            }
        }
        Ok(Self::Counted(numbers))
    }

    /// Puts the cell into a tally of the place of that name, which stands so; false where nobody looked.
    ///
    /// # Errors
    /// When the tally says the same thing already, or the cell cannot be at that stage.
    pub fn fill(
        self,
        tally: &mut Tally,
        stage: Option<Stage>,
        stands: &Standing,
        place: &str,
    ) -> Result<bool, Fault> {
        let set = |slot: &mut Option<u16>, count| set(slot, count, place);
        let numbers = match (self, stage) {
            (Self::NotLooked, _) => return Ok(false),
            (Self::AsBefore, None) => {
                set(&mut tally.alive, Some(stands.fates.alive()))?;
                let unknown = stands.fates.not_known.all();
                set(&mut tally.not_known, (unknown > 0).then_some(unknown))?;
                return Ok(true);
            }
            (Self::AsBefore, Some(_)) => {
                return Err(Fault::user("cell-as-before-at-stage").with("text", place));
            }
            (Self::Counted(numbers), _) => numbers,
        };
        set(&mut tally.green, numbers.green)?;
        set(&mut tally.dead, numbers.dead)?;
        set(&mut tally.lost, numbers.lost)?;
        match stage {
            None => {
                set(&mut tally.alive, Some(numbers.count))?;
                set(&mut tally.rooted, numbers.rooted)?;
                let found = numbers.is_found.then(|| found(tally, stands)).filter(|found| *found > 0);
                set(&mut tally.found_alive, found)?;
            }
            Some(_) if numbers.is_found => {
                return Err(Fault::user("cell-found-at-stage").with("text", place));
            }
            Some(Stage::Final) => {
                set(&mut tally.finished, Some(numbers.count))?;
                set(&mut tally.rooted, numbers.rooted)?;
            }
            Some(_) if numbers.rooted.is_some() => {
                return Err(Fault::user("cell-roots-at-stage").with("text", place));
            }
            Some(_) => set(&mut tally.rooted, Some(numbers.count))?,
        }
        Ok(true)
    }
}

/// So many that were counted dead must be alive for the numbers to fit.
fn found(tally: &Tally, stands: &Standing) -> u16 {
    let counted = [tally.alive, tally.dead, tally.lost, tally.not_known].into_iter().flatten();
    counted.fold(0, u16::saturating_add).saturating_sub(stands.base())
}

fn set(slot: &mut Option<u16>, count: Option<u16>, place: &str) -> Result<(), Fault> {
    match (&slot, count) {
        (Some(_), Some(_)) => Err(Fault::user("count-given-twice").with("text", place)),
        (None, Some(_)) => {
            *slot = count;
            Ok(())
        }
        (_, None) => Ok(()),
    }
}

/// The number that a text begins with, and what follows.
fn leading(text: &str) -> Option<(u16, &str)> {
    let end = text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    let number = text[..end].parse().ok().filter(|n| *n <= 10_000)?;
    Some((number, &text[end..]))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn numbers(count: u16) -> Numbers {
        Numbers { count, ..Numbers::default() }
    }

    #[test]
    fn cells_are_a_number_with_letters_behind_it_or_a_sign() {
        let read = |text: &str| Cell::read(text).expect(text);
        assert_eq!(read("11"), Cell::Counted(numbers(11)));
        assert_eq!(read("11r3"), Cell::Counted(Numbers { rooted: Some(3), ..numbers(11) }));
        assert_eq!(read("8L2d1"), Cell::Counted(Numbers { lost: Some(2), dead: Some(1), ..numbers(8) }));
        assert_eq!(read("11!"), Cell::Counted(Numbers { is_found: true, ..numbers(11) }));
        assert_eq!((read("."), read("-"), read("=")), (Cell::NotLooked, Cell::NotLooked, Cell::AsBefore));
        for written in ["11", "11r3", "8d1l2", "4g8!"] {
            let Cell::Counted(numbers) = read(written) else { panic!("{written}") };
            assert_eq!(numbers.to_string(), written);
        }
        assert_eq!(Numbers { dead: Some(0), ..numbers(3) }.to_string(), "3", "what is none is not typed");
        for wrong in ["", "r3", "11r", "11x2", "11r3r2", "11!!", "4r 1g", "11/2", "-3", "10001", "1.5"] {
            assert!(Cell::read(wrong).expect_err(wrong).code.starts_with("cell-"));
        }
    }

    #[test]
    fn what_is_found_alive_is_worked_out() {
        let mut stands = Standing::fresh(12);
        stands.fates.waiting = 10;
        stands.fates.dead.without = 2;
        let filled = |text: &str| {
            let mut tally = Tally::default();
            assert!(Cell::read(text).expect(text).fill(&mut tally, None, &stands, "P1").expect(text));
            (tally.alive, tally.found_alive, tally.lost)
        };
        assert_eq!(filled("11!"), (Some(11), Some(1), None));
        assert_eq!(filled("10l2!"), (Some(10), Some(2), Some(2)));
        assert_eq!(filled("9!"), (Some(9), None, None));
        assert_eq!(filled("="), (Some(10), None, None));
    }

    proptest! {
        #[test]
        fn anything_typed_is_read_or_refused(text in "[0-9rgdl!.=x -]{0,8}") {
            if let Err(fault) = Cell::read(&text) {
                prop_assert!(fault.code.starts_with("cell-") && fault.params["text"] == text);
            }
        }
    }
}
