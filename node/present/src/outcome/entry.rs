//! Entries in words.

pub(super) mod changes;
mod line;
mod looked;
mod mended;
mod moved;

pub(super) use line::line;
pub(super) use looked::all as looked;
pub(super) use mended::{number as number_corrected, undone};

use crate::document::{Document, List};
use propagule_bench::Stage;

pub use changes::standing;

use super::{said, spots, undo};
use propagule_app::outcome::entry::{
    AfterEntry, Cared, Counted, EntryCame, EntryOutcome, Noted, PlaceChange,
};

use crate::kind::KindWords;
use crate::words::any_kind as any;
use crate::words::sentences::{entries, when};

/// What came of an entry.
pub(super) fn all(outcome: &EntryOutcome) -> Document {
    let number = outcome.entry.unwrap_or_default();
    let say = |words: String| Document::new().say(words);
    match &outcome.came {
        EntryCame::Counted(counted) => self::counted(number, counted),
        EntryCame::Looked(after) => entered(number, after, "checked, no change", Vec::new()),
        EntryCame::Suckers(after) => entered(number, after, "rootstock suckers", Vec::new()),
        EntryCame::WrapCut(after) => {
            entered(number, after, KindWords::of(after.kind).trade("tape cut"), Vec::new())
        }
        EntryCame::Moved(moved) => moved::moved(number, moved),
        EntryCame::StandsThere { trial, spot } => {
            say(format!("{trial} is on {spot} already. Nothing was added."))
        }
        EntryCame::Left(left) => moved::left(number, left),
        EntryCame::Noted(noted) => self::noted(number, noted),
        EntryCame::Cared(cared) => self::cared(number, cared),
        EntryCame::CareTakenBack { .. } => say(entries::undone(&any(), number, "")),
        EntryCame::Corrected(corrected) => mended::corrected(number, corrected),
        EntryCame::TakenBack(mended) => mended::taken_back(number, mended),
        EntryCame::AlreadyIn { on } => say(format!(
            "{} The numbers of {} are the same.",
            entries::already(&any(), number),
            when(&any(), on)
        )),
        EntryCame::AlreadySent => say(entries::already(&any(), number)),
    }
}

/// Something was counted.
fn counted(number: u64, Counted { stage, roots, after }: &Counted) -> Document {
    let words = KindWords::of(after.kind);
    let had_roots = after.changes.iter().filter_map(|change| changes::had_roots(change, &words));
    match stage {
        None => {
            let places = after.changes.iter().map(|change| changes::place(change, &words));
            let roots = roots.iter().map(|roots| changes::roots(roots, &words));
            let lines = places.chain(roots).chain(had_roots).chain(changes::total(&after.total, &words));
            entered(number, after, "check", lines.collect())
        }
        Some(stage) => at_stage(number, after, *stage, had_roots.collect()),
    }
}

fn at_stage(number: u64, after: &AfterEntry, stage: Stage, had_roots: Vec<String>) -> Document {
    let words = KindWords::of(after.kind);
    let stands = |change: &PlaceChange| {
        let place = after.stands.iter().find(|place| place.place == change.place)?;
        Some(changes::stands(place, &words))
    };
    let pending = &after.not_counted_yet;
    let pending = (!pending.is_empty()).then(|| entries::uncounted_pots(&words, pending));
    let lines = after.changes.iter().filter_map(stands).chain(had_roots).chain(pending);
    entered(number, after, words.name(stage), lines.collect())
}

/// An entry of a trial with what it says in lines, and how it is taken back.
fn entered(number: u64, after: &AfterEntry, what: &str, lines: Vec<String>) -> Document {
    let title = match after.correction {
        None => {
            let day = when(&KindWords::of(after.kind), &after.on);
            entries::saved(&any(), number, &format!("{}, {what}, {day}", after.trial))
        }
        Some(correction) => format!("{}.", in_the_place_of(number, correction)),
    };
    titled(title, lines).action(undo::of(&after.take_back))
}

/// `Entry 4 fixed as entry 7; the history keeps both`.
fn in_the_place_of(number: u64, correction: u64) -> String {
    format!("Entry {number} fixed as entry {correction}; the history keeps both")
}

/// `Saved as entry 4`, or in the place of which other one.
fn saved(number: u64, correction: Option<u64>) -> String {
    correction
        .map_or_else(|| format!("Saved as entry {number}"), |correction| in_the_place_of(number, correction))
}

/// A title with the lines that belong to it.
fn titled(title: String, lines: Vec<String>) -> Document {
    if lines.is_empty() {
        return Document::new().say(title);
    }
    Document::new().section(title, |under| under.list(List::points(lines)))
}

fn noted(number: u64, Noted { subject, on, take_back }: &Noted) -> Document {
    Document::new()
        .say(format!(
            "{} {}",
            entries::saved(&any(), number, &when(&any(), on)),
            entries::noted(&any(), subject)
        ))
        .action(undo::of(take_back))
}

fn cared(number: u64, Cared { spot, on, care, lots, cautions, take_back }: &Cared) -> Document {
    let logged = entries::log_other(&any(), spot, &said::line(care), &when(&any(), on), lots.len());
    let on_it = (!lots.is_empty()).then(|| format!("On it: {}.", lots.join(", ")));
    let said = Document::new()
        .say(entries::saved(&any(), number, logged.trim_end_matches('.')))
        .each(on_it, Document::say);
    spots::to_mind(said, cautions).action(undo::of(take_back))
}
