//! One typed count: where, and how many of what.

use super::cell::{self, Cell, Numbers};
use super::{How, TypedFault, number, pair, parts};
use crate::code;
use crate::code::CodeError;
use crate::entry::{Mark, Tally};
use crate::fates::Standing;
use crate::trial::{Stage, Trial};
use propagule_files::counted::counted;

/// Words of what can be counted, for those that are near to what was typed.
const STATES: [&str; 15] = [
    "alive",
    "green",
    "waiting",
    "dead",
    "of-rooted",
    "lost",
    "not-known",
    "found-alive",
    "rooted",
    "taken",
    "germinated",
    "re-rooted",
    "callused",
    "established",
    "finished",
];
/// Marks that may overlap.
pub const MARKS: [&str; 7] =
    ["yellow", "leaf_dropped", "wilted", "mould", "new_shoot", "roots_at_hole", "leafing"];
/// The scale of grades that is meant when none is named: 0 dead to 5 the ball holds together.
pub const OWN_SCALE: &str = "ball-0-5";

/// Something typed of one place: counts by their words, and a cell that needs to know how the place stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Typed {
    /// The place, and what is counted by words.
    pub tally: Tally,
    /// The cell beside them.
    pub cell: Option<Cell>,
}

impl Typed {
    /// The tally with its cell filled in for a place that stands so; `None` where nobody looked.
    ///
    /// # Errors
    /// When words and cell say the same thing twice.
    pub fn settle(&self, stage: Option<Stage>, stands: &Standing) -> Result<Option<Tally>, TypedFault> {
        let mut tally = self.tally.clone();
        let Some(cell) = self.cell else { return Ok(Some(tally)) };
        Ok(cell.fill(&mut tally, stage, stands)?.then_some(tally))
    }

    /// Whether both are of one place.
    pub fn is_beside(&self, other: &Tally) -> bool {
        self.tally.arm == other.arm && self.tally.replicate == other.replicate
    }

    /// Whether nothing is counted.
    fn is_blank(&self) -> bool {
        let Tally { arm, ref replicate, .. } = self.tally;
        self.cell.is_none() && self.tally == Tally { arm, replicate: replicate.clone(), ..Tally::default() }
    }
}

/// Reads `[WHERE:]what=how many[,…]`, short letters such as `r4,g1`, or a cell; without a place it is the
/// trial's only one.
///
/// # Errors
/// A place that the trial does not have, words or numbers that are not understood.
pub fn read_typed(text: &str, trial: &Trial, stage: Option<Stage>) -> Result<Typed, TypedFault> {
    let (place, counts) = match text.split_once(':') {
        Some((place, counts)) => (Some(place.trim()), counts),
        None => (None, text),
    };
    let named = |fault: TypedFault| TypedFault { text: text.to_owned(), ..fault };
    let tally = at(place, trial).map_err(|fault| if place.is_none() { named(fault) } else { fault })?;
    let mut typed = Typed { tally, cell: None };
    for part in parts(counts, ',') {
        match short(part) {
            Some((key, value)) => set(&mut typed.tally, key, value, stage)?,
            None if cell::is_row(part) && typed.cell.is_none() => typed.cell = Some(Cell::read(part)?),
            None => {
                let (key, value) = pair(part)?;
                set(&mut typed.tally, &key, value, stage)?;
            }
        }
    }
    if typed.is_blank() {
        return Err(TypedFault::new(text, "nothing is counted").how(How::States));
    }
    Ok(typed)
}

/// As [`read_typed`], for counts that need not know how the place stands.
///
/// # Errors
/// As [`read_typed`].
#[cfg(test)]
pub fn read(text: &str, trial: &Trial, stage: Option<Stage>) -> Result<Tally, TypedFault> {
    let typed = read_typed(text, trial, stage)?;
    Ok(typed.settle(stage, &Standing::default())?.expect("tests count what they name"))
}

/// `r4`: the word that a letter stands for, and the number behind it.
fn short(part: &str) -> Option<(&'static str, &str)> {
    let key = match part.chars().next()? {
        'a' => "alive",
        'r' => "rooted",
        'g' => "green",
        'd' => "dead",
        'l' => "lost",
        _ => return None,
    };
    let number = &part[1..];
    (!number.is_empty() && number.bytes().all(|b| b.is_ascii_digit())).then_some((key, number))
}

/// An empty tally for the place of that name.
pub fn at(place: Option<&str>, trial: &Trial) -> Result<Tally, TypedFault> {
    let Some(place) = place else {
        return match &trial.arms[..] {
            [arm] if arm.replicates.len() < 2 => Ok(Tally {
                arm: arm.number,
                replicate: arm.replicates.first().map(|replicate| replicate.code.clone()),
                ..Tally::default()
            }),
            _ => Err(TypedFault::new("", "it does not say which pot or arm is meant")
                .hint(format!("begin with one of {} and a colon", places(trial)))),
        };
    };
    let tag = if trial.target(place).is_some() { Ok(place.to_owned()) } else { of_tag(place, trial) };
    if let Err(CodeError::Check { meant, .. }) = &tag {
        let fault = TypedFault::new(place, "its check character does not fit: a slip, or another tag");
        return Err(fault.hint(format!("look at the tag again; perhaps {}", meant.join(" or "))));
    }
    let place = tag.as_deref().unwrap_or(place);
    let Some((arm, replicate)) = trial.target(place) else {
        let near = near(place, trial);
        let fault = TypedFault::new(place, format!("trial \"{}\" has no such pot or arm", trial.code));
        return Err(if near.is_empty() {
            fault.hint(format!("it has {}", places(trial)))
        } else {
            fault.hint(format!("did you mean {}?", near.join(", ")))
        });
    };
    let replicate = match (replicate, &arm.replicates[..]) {
        (Some(replicate), _) => Some(replicate.code.clone()),
        (None, []) => None,
        (None, [only]) => Some(only.code.clone()),
        (None, several) => {
            let codes: Vec<&str> = several.iter().map(|r| r.code.as_str()).collect();
            return Err(TypedFault::new(place, "this arm is counted pot by pot")
                .hint(format!("give a count for each of {}", codes.join(", "))));
        }
    };
    Ok(Tally { arm: arm.number, replicate, ..Tally::default() })
}

/// The place that a tag names, with or without the trial's code before it and a check character behind it.
fn of_tag(tag: &str, trial: &Trial) -> Result<String, CodeError> {
    let prefix = format!("{}-", trial.code);
    let places = trial.arms.iter().flat_map(|arm| {
        std::iter::once(arm.label.as_str())
            .chain(arm.replicates.iter().map(|replicate| replicate.code.as_str()))
    });
    let known: Vec<String> = places.map(|place| format!("{prefix}{place}")).collect();
    let code = code::read(tag, known.iter().map(String::as_str))?;
    Ok(code.strip_prefix(&prefix).unwrap_or(&code).to_owned())
}

/// All places of a trial where something can be counted.
fn places(trial: &Trial) -> String {
    let of = |arm: &crate::Arm| -> Vec<String> {
        if arm.replicates.is_empty() {
            vec![arm.label.clone()]
        } else {
            arm.replicates.iter().map(|replicate| replicate.code.clone()).collect()
        }
    };
    let all: Vec<String> = trial.arms.iter().flat_map(of).collect();
    let shown = all.iter().take(12).cloned().collect::<Vec<_>>().join(", ");
    if all.len() > 12 { format!("{shown}, … ({} in all)", all.len()) } else { shown }
}

fn near(place: &str, trial: &Trial) -> Vec<String> {
    let codes = trial.arms.iter().flat_map(|arm| {
        std::iter::once(arm.label.as_str()).chain(arm.replicates.iter().map(|r| r.code.as_str()))
    });
    propagule_files::closest(place, codes, 3)
}

fn set(tally: &mut Tally, key: &str, value: &str, stage: Option<Stage>) -> Result<(), TypedFault> {
    match key {
        "cause" => tally.cause = Some(value.to_owned()),
        "root_counts" | "root_count" => tally.root_counts = numbers(value)?,
        "longest_root" | "longest" => tally.longest_root = Some(number(value.trim_end_matches("mm"))?),
        "grade" | "grades" => {
            tally.grades = numbers(value)?;
            tally.grade_scale.get_or_insert_with(|| OWN_SCALE.to_owned());
        }
        "scale" => tally.grade_scale = Some(value.to_owned()),
        "leafing" if stage.is_some() => leafing(tally, value)?,
        mark if MARKS.contains(&mark) => {
            tally.marks.insert(mark.to_owned(), read_mark(value)?);
        }
        _ => *state(tally, key, stage)? = Some(number(value)?),
    }
    Ok(())
}

/// At a stage a leafing piece is alive; a leafless one that was not scratched is not known.
fn leafing(tally: &mut Tally, value: &str) -> Result<(), TypedFault> {
    let count = number(value)?;
    tally.alive = Some(count);
    tally.marks.insert("leafing".to_owned(), Mark::Count(count));
    Ok(())
}

fn state<'a>(
    tally: &'a mut Tally,
    key: &str,
    stage: Option<Stage>,
) -> Result<&'a mut Option<u16>, TypedFault> {
    Ok(match key {
        "alive" => &mut tally.alive,
        "green" | "undecided" | "waiting" => &mut tally.green,
        "dead" => &mut tally.dead,
        "of_rooted" => &mut tally.of_rooted,
        "lost" => &mut tally.lost,
        "not_known" | "unknown" => &mut tally.not_known,
        "found_alive" => &mut tally.found_alive,
        "callused" => &mut tally.callused,
        "rooted" | "taken" | "germinated" | "re_rooted" | "successful" => &mut tally.rooted,
        "finished" => &mut tally.finished,
        "sound" if stage == Some(Stage::Final) => &mut tally.finished,
        "established" | "sound" => &mut tally.established,
        _ => {
            let known = STATES.into_iter().chain(MARKS).chain(["cause"]);
            let near = propagule_files::closest(key, known, 2);
            let fault = TypedFault::new(key, "it is not something that is counted");
            return Err(if near.is_empty() {
                fault.how(How::StatesAndMarks)
            } else {
                fault.did_you_mean(&near, "")
            });
        }
    })
}

fn read_mark(value: &str) -> Result<Mark, TypedFault> {
    Ok(match value {
        "none" => Mark::None,
        "some" => Mark::Some,
        "most" | "all" => Mark::Most,
        _ => Mark::Count(number(value).map_err(|f| f.hint("or write none, some or most"))?),
    })
}

/// `3/5/2`.
fn numbers(value: &str) -> Result<Vec<u16>, TypedFault> {
    value.split('/').map(number).collect()
}

/// Reads counts of all places in an order: a cell for each; at a stage also numbers parted by `/` for the lead
/// outcome, green, dead and lost.
///
/// # Errors
/// When there are more or fewer than places, or one is not understood.
pub fn in_order(
    text: &str,
    order: &[String],
    trial: &Trial,
    stage: Option<Stage>,
) -> Result<Vec<Typed>, TypedFault> {
    let typed: Vec<&str> = cell::parts(text).collect();
    if typed.len() != order.len() {
        let (numbers, lines) =
            (counted(typed.len(), "number", "numbers"), counted(order.len(), "line", "lines"));
        let why = format!("{numbers} for {lines} of the sheet");
        return Err(TypedFault::new(text, why)
            .hint(format!("one for each line, `-` for none; the order is {}", order.join(", "))));
    }
    let mut all = Vec::new();
    for (part, place) in typed.into_iter().zip(order) {
        let tally = at(Some(place), trial)?;
        let cell = if part.contains('/') { slashed(part, stage)? } else { Cell::read(part)? };
        all.push(Typed { tally, cell: Some(cell) });
    }
    Ok(all)
}

/// `4/1/0/1` of a stage: the lead outcome, green, dead and lost.
fn slashed(text: &str, stage: Option<Stage>) -> Result<Cell, TypedFault> {
    if stage.is_none() {
        return Err(TypedFault::new(text, "at a check the first number is how many are alive").how(How::Cell));
    }
    let counts = numbers(text)?;
    let mut counts = counts.into_iter();
    let (count, green, dead, lost) =
        (counts.next().unwrap_or_default(), counts.next(), counts.next(), counts.next());
    if counts.next().is_some() {
        return Err(TypedFault::new(text, "more than four numbers for one line").how(How::CellAtAStage));
    }
    Ok(Cell::Counted(Numbers { count, green, dead, lost, ..Numbers::default() }))
}

#[cfg(test)]
mod tests;
