//! Typed counts: where, and how many of what.

use propagule_files::fault::Fault;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::cell;
use super::cell::{Cell, Numbers};
use super::place;
use super::value::{number, numbers, pair, parts, word};
use crate::entry::{Mark, Tally};
use crate::fates::Standing;
use crate::tags::Tag;
use crate::trial::Stage;
use crate::units::{TrialUnits, UnitKey};

pub use super::value::quoted;

/// Words of what can be counted, for those that are near to what was typed.
const STATES: [&str; 15] = [
    "alive",
    "green",
    "waiting",
    "dead",
    "of-rooted",
    "lost",
    "not-seen",
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

/// What was counted at one place: counts by what they are of, and a cell that needs to know how the place stands.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PlaceCount {
    /// The place, and what is counted by words.
    pub tally: Tally,
    /// The cell beside them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cell: Option<Cell>,
}

impl PlaceCount {
    /// Of a place, with nothing counted yet.
    pub fn at(unit: UnitKey) -> Self {
        let UnitKey { arm, replicate } = unit;
        Self { tally: Tally { arm, replicate, ..Tally::default() }, cell: None }
    }

    /// The tally with its cell filled in for the place of that name, which stands so; `None` where nobody looked.
    ///
    /// # Errors
    /// When words and cell say the same thing twice.
    pub fn settle(
        &self,
        stage: Option<Stage>,
        stands: &Standing,
        place: &str,
    ) -> Result<Option<Tally>, Fault> {
        let mut tally = self.tally.clone();
        let Some(cell) = self.cell else { return Ok(Some(tally)) };
        Ok(cell.fill(&mut tally, stage, stands, place)?.then_some(tally))
    }

    /// Whether both are of one place.
    pub fn is_beside(&self, other: &Tally) -> bool {
        self.tally.arm == other.arm && self.tally.replicate == other.replicate
    }

    /// Whether nothing is counted.
    pub fn is_blank(&self) -> bool {
        self.cell.is_none() && is_blank(&self.tally)
    }
}

fn is_blank(tally: &Tally) -> bool {
    *tally == Tally { arm: tally.arm, replicate: tally.replicate.clone(), ..Tally::default() }
}

/// Reads everything typed behind a command, one count for each place that is named: cells in the order of the tags,
/// `[WHERE:]what=how many[,…]`, or counts in the order of the printed sheet.
///
/// # Errors
/// What is not understood, with the kind of the trial and the stage, so that it can be worded.
pub fn read_all(
    words: &[String],
    in_order: Option<&str>,
    units: &TrialUnits,
    stage: Option<Stage>,
) -> Result<Vec<PlaceCount>, Fault> {
    all_of(words, in_order, units, stage).map_err(|fault| of_kind(fault, units, stage))
}

/// Reads what else is counted at a place, such as `callused=3, yellow=2`.
///
/// # Errors
/// As [`read_all`].
pub fn read_more(
    count: &mut PlaceCount,
    text: &str,
    units: &TrialUnits,
    stage: Option<Stage>,
) -> Result<(), Fault> {
    fill(count, text, stage).map_err(|fault| of_kind(fault, units, stage))
}

/// A fault that can be said in the words of the trial's kind.
pub fn of_kind(fault: Fault, units: &TrialUnits, stage: Option<Stage>) -> Fault {
    let fault = fault.with("kind", units.kind.word());
    match stage {
        Some(stage) => fault.with("stage", stage.word()),
        None => fault,
    }
}

fn all_of(
    words: &[String],
    in_order: Option<&str>,
    units: &TrialUnits,
    stage: Option<Stage>,
) -> Result<Vec<PlaceCount>, Fault> {
    let (rows, named): (Vec<&String>, Vec<&String>) = words.iter().partition(|text| cell::is_row(text));
    let mut all = row(&rows, units)?;
    if let Some(text) = in_order {
        if !all.is_empty() {
            return Err(Fault::usage("counts-in-two-orders"));
        }
        all = by_sheet(text, units, stage)?;
    }
    for text in named {
        beside(&mut all, read(text, units, stage)?, units)?;
    }
    Ok(all)
}

/// Cells in the order of the tags: one for each place.
fn row(rows: &[&String], units: &TrialUnits) -> Result<Vec<PlaceCount>, Fault> {
    let cells: Vec<&str> = rows.iter().flat_map(|row| cell::parts(row)).collect();
    if cells.is_empty() {
        return Ok(Vec::new());
    }
    let tags = units.tag_order();
    if cells.len() != tags.len() {
        return Err(wrong_number(units, &tags, cells.len()));
    }
    let read = |(text, Tag { arm, replicate, code }): (&str, Tag)| {
        let cell = Cell::read(text).map_err(|fault| fault.with("text", format!("{code} {text}")))?;
        Ok(PlaceCount { cell: Some(cell), ..PlaceCount::at(UnitKey { arm, replicate }) })
    };
    cells.into_iter().zip(tags).map(read).collect()
}

fn wrong_number(units: &TrialUnits, tags: &[Tag], came: usize) -> Fault {
    let is_pots = tags.iter().all(|tag| tag.replicate.is_some());
    let code = if is_pots { "row-of-other-length" } else { "row-of-other-places" };
    Fault::usage(code)
        .with("trial", &units.trial)
        .with("places", tags.len())
        .with("codes", tags.iter().map(|tag| tag.code.as_str()).collect::<Vec<_>>().join(" "))
        .with("came", came)
}

/// Adds what is typed of a place to what a cell says of it: its cause, say.
fn beside(all: &mut Vec<PlaceCount>, typed: PlaceCount, units: &TrialUnits) -> Result<(), Fault> {
    match all.iter_mut().find(|other| other.is_beside(&typed.tally)) {
        None => all.push(typed),
        Some(cell) if cell.cell == Some(Cell::NotLooked) => *cell = typed,
        Some(cell) if is_blank(&cell.tally) && typed.cell.is_none() => cell.tally = typed.tally,
        Some(_) => {
            let place = units.label(typed.tally.arm, typed.tally.replicate.as_deref());
            return Err(Fault::user("counted-twice").with("place", place));
        }
    }
    Ok(())
}

/// Reads `[WHERE:]what=how many[,…]`, short letters such as `r4,g1`, or a cell; without a place it is the
/// trial's only one.
fn read(text: &str, units: &TrialUnits, stage: Option<Stage>) -> Result<PlaceCount, Fault> {
    let (place, counts) = with_place(text, units);
    let unit = place::read(place, units).map_err(|fault| match place {
        Some(_) => fault,
        None => Fault::user("count-without-place").with("text", text).with("places", &fault.params["places"]),
    })?;
    let mut count = PlaceCount::at(unit);
    fill(&mut count, counts, stage)?;
    if count.is_blank() {
        return Err(Fault::user("count-empty").with("text", text));
    }
    Ok(count)
}

/// The place that stands before a colon, and what follows it. A label may hold colons itself: the longest that there is
/// is meant.
fn with_place<'a>(text: &'a str, units: &TrialUnits) -> (Option<&'a str>, &'a str) {
    let parted = |at: usize| (Some(text[..at].trim()), &text[at + 1..]);
    let is_known = |at: &usize| units.target(text[..*at].trim()).is_some();
    let longest = text.match_indices(':').map(|(at, _)| at).rfind(is_known);
    longest.or_else(|| text.find(':')).map_or((None, text), parted)
}

fn fill(count: &mut PlaceCount, counts: &str, stage: Option<Stage>) -> Result<(), Fault> {
    for part in parts(counts) {
        match short(part) {
            Some((key, value)) => set(&mut count.tally, key, value, stage)?,
            None if cell::is_row(part) && count.cell.is_none() => count.cell = Some(Cell::read(part)?),
            None => {
                let (key, value) = pair(part)?;
                set(&mut count.tally, &key, value, stage)?;
            }
        }
    }
    Ok(())
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

fn set(tally: &mut Tally, key: &str, value: &str, stage: Option<Stage>) -> Result<(), Fault> {
    let mark = mark_called(key);
    match mark.unwrap_or(key) {
        "cause" => tally.cause = Some(word(value)?.into_owned()),
        "root_counts" | "root_count" => tally.root_counts = numbers(value)?,
        "longest_root" | "longest" => tally.longest_root = Some(number(value.trim_end_matches("mm"))?),
        "grade" | "grades" => {
            tally.grades = numbers(value)?;
            tally.grade_scale.get_or_insert_with(|| OWN_SCALE.to_owned());
        }
        "scale" => tally.grade_scale = Some(word(value)?.into_owned()),
        "leafing" if stage.is_some() => leafing(tally, value)?,
        key if mark.is_some() => {
            tally.marks.insert(key.to_owned(), read_mark(value)?);
        }
        key => *state(tally, key, stage)? = Some(number(value)?),
    }
    Ok(())
}

/// The mark that is called so.
fn mark_called(word: &str) -> Option<&'static str> {
    let word = match word {
        "mold" => "mould",
        "leaf_drop" => "leaf_dropped",
        "roots_showing" => "roots_at_hole",
        "new_shoots" => "new_shoot",
        "leafing_out" => "leafing",
        word => word,
    };
    MARKS.into_iter().find(|mark| *mark == word)
}

/// At a stage a leafing propagule is alive; a leafless one that was not scratched is not known.
fn leafing(tally: &mut Tally, value: &str) -> Result<(), Fault> {
    let count = number(value)?;
    tally.alive = Some(count);
    tally.marks.insert("leafing".to_owned(), Mark::Count(count));
    Ok(())
}

fn state<'a>(tally: &'a mut Tally, key: &str, stage: Option<Stage>) -> Result<&'a mut Option<u16>, Fault> {
    Ok(match key {
        "alive" => &mut tally.alive,
        "green" | "undecided" | "waiting" => &mut tally.green,
        "dead" => &mut tally.dead,
        "of_rooted" => &mut tally.of_rooted,
        "lost" => &mut tally.lost,
        "not_seen" | "not_known" | "unknown" => &mut tally.not_known,
        "found_alive" => &mut tally.found_alive,
        "callused" => &mut tally.callused,
        "rooted" | "taken" | "took" | "germinated" | "growing" | "grew" | "re_rooted" | "succeeded"
        | "successful" => &mut tally.rooted,
        "finished" => &mut tally.finished,
        "sound" if stage == Some(Stage::Final) => &mut tally.finished,
        "established" | "sound" | "pricked_out" | "weaned" => &mut tally.established,
        _ => {
            let known = STATES.into_iter().chain(MARKS).chain(["cause"]);
            let near = propagule_files::closest(key, known, 2);
            return Err(Fault::user("count-word-unknown").with("text", key).near(&near));
        }
    })
}

fn read_mark(value: &str) -> Result<Mark, Fault> {
    Ok(match value {
        "none" => Mark::None,
        "some" => Mark::Some,
        "most" | "all" => Mark::Most,
        _ => Mark::Count(number(value).map_err(|fault| fault.hint_named("mark-in-words"))?),
    })
}

/// Reads counts of all places in the order of the sheet: a cell for each; at a stage also numbers parted by `/` for the
/// lead outcome, green, dead and lost.
fn by_sheet(text: &str, units: &TrialUnits, stage: Option<Stage>) -> Result<Vec<PlaceCount>, Fault> {
    let typed: Vec<&str> = cell::parts(text).collect();
    if typed.len() != units.sheet.len() {
        return Err(Fault::user("sheet-of-other-length")
            .with("text", text)
            .with("came", typed.len())
            .with("lines", units.sheet.len())
            .with("order", units.sheet.join(", ")));
    }
    let mut all = Vec::new();
    for (part, place) in typed.into_iter().zip(&units.sheet) {
        let unit = place::read(Some(place), units)?;
        let cell = if part.contains('/') { slashed(part, stage)? } else { Cell::read(part)? };
        all.push(PlaceCount { cell: Some(cell), ..PlaceCount::at(unit) });
    }
    Ok(all)
}

/// `4/1/0/1` of a stage: the lead outcome, green, dead and lost.
fn slashed(text: &str, stage: Option<Stage>) -> Result<Cell, Fault> {
    if stage.is_none() {
        return Err(Fault::user("cell-slashed-at-check").with("text", text));
    }
    let counts = numbers(text)?;
    let mut counts = counts.into_iter();
    let (count, green, dead, lost) =
        (counts.next().unwrap_or_default(), counts.next(), counts.next(), counts.next());
    if counts.next().is_some() {
        return Err(Fault::user("cell-slashed-too-long").with("text", text));
    }
    Ok(Cell::Counted(Numbers { count, green, dead, lost, ..Numbers::default() }))
}

/// Reads a tally that need not know how its place stands.
#[cfg(test)]
pub(crate) fn read_tally(
    text: &str,
    trial: &crate::trial::Trial,
    stage: Option<Stage>,
) -> Result<Tally, Fault> {
    let count = read(text, &TrialUnits::of(trial, Vec::new()), stage)?;
    Ok(count.settle(stage, &Standing::default(), "it")?.expect("tests count what they name"))
}

#[cfg(test)]
mod tests;
