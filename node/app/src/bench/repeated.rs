//! The same trial on the same day again: the same entry, a correction, or another one.

use super::counting::{self, Counted, place_of};
use super::{Common, Enter, Repeat, as_data, of_entry};
use crate::Reply;
use crate::outcome::entry::{EntryCame, EntryOutcome};
use propagule_bench::dates::When;
use propagule_bench::fates::Taken;
use propagule_bench::kind::Kind;
use propagule_bench::typed::tally::PlaceCount;
use propagule_bench::{Bench, Difference, Entry, Law, Season, State, Tally, Trial, What};
use propagule_files::fault::{Asks, Fault};

/// What there is already of a day.
pub(crate) enum Found {
    /// Nothing that this would repeat.
    Nothing,
    /// The same.
    Same(u64),
    /// Something else, which is to be replaced.
    Replaced(u64, Box<Entry>),
}

/// What the entry is to do about one of the same day that says `differences`.
///
/// # Errors
/// The question, where it is not answered.
fn decided(
    common: &Common,
    kind: Kind,
    number: u64,
    entry: &Entry,
    differences: &[Difference],
) -> Result<Found, Fault> {
    if differences.is_empty() {
        let note = common.note.as_ref().filter(|note| entry.note.as_ref() != Some(note));
        if note.is_some() || common.files.iter().any(|file| !entry.files.contains(file)) {
            return Err(Fault::user("only-note-is-new")
                .with("on", entry.on)
                .with("number", number)
                .with("subject", entry.what.trial().unwrap_or_default()));
        }
        return Ok(Found::Same(number));
    }
    match common.repeat {
        Some(Repeat::Instead) => Ok(Found::Replaced(number, Box::new(entry.clone()))),
        Some(Repeat::Again) => Ok(Found::Nothing),
        None => Err(Fault::user("day-is-in-already")
            .with("on", entry.on)
            .with("number", number)
            .with("differences", as_data(&differences))
            .with("kind", kind.word())
            .asks(Asks::InsteadOrAgain)),
    }
}

/// Entries of a trial on a day, the latest first.
fn of_day<'a>(bench: &'a Bench, trial: &'a Trial, common: &'a Common) -> Vec<(u64, &'a Entry)> {
    let is_it =
        |(_, entry): &(u64, &Entry)| entry.what.trial() == Some(trial.code.as_str()) && entry.on == common.on;
    let mut found: Vec<_> = bench.entries().filter(is_it).collect();
    found.reverse();
    found
}

/// Whether the trial was looked at on that day already.
pub(super) fn looked(bench: &Bench, trial: &Trial, common: &Common) -> Result<Found, Fault> {
    if common.repeat == Some(Repeat::Again) {
        return Ok(Found::Nothing);
    }
    let is_look = |entry: &Entry| matches!(entry.what, What::Looked { .. });
    match of_day(bench, trial, common).into_iter().find(|(_, entry)| is_look(entry)) {
        Some((number, entry)) => decided(common, trial.kind(), number, entry, &[]),
        None => answered_for_nothing(common),
    }
}

/// Finds a count of the same places on the same day; places that are in with the same numbers are taken out of
/// `counts` where others are new.
pub(super) fn counts(
    bench: &Bench,
    trial: &Trial,
    counts: &mut Vec<PlaceCount>,
    enter: &Enter,
) -> Result<Found, Fault> {
    if enter.common.repeat == Some(Repeat::Again) {
        return Ok(Found::Nothing);
    }
    let mut differing: Option<(u64, &Entry, Vec<Difference>)> = None;
    for (number, entry) in of_day(bench, trial, &enter.common) {
        let What::Counted { stage, tallies, .. } = &entry.what else { continue };
        let is_in = |count: &PlaceCount| tallies.iter().any(|tally| count.is_beside(tally));
        let both: Vec<PlaceCount> = counts.iter().filter(|count| is_in(count)).cloned().collect();
        if *stage != enter.stage || both.is_empty() {
            continue;
        }
        let season = without(bench, trial, number);
        let differences = match counting::settled(&season, &both, enter) {
            Ok(now) => now.iter().filter_map(|now| difference(&season, enter, tallies, now)).collect(),
            Err(_) => vec![Difference::NoFit],
        };
        if differences.is_empty() && both.len() == counts.len() {
            return decided(&enter.common, trial.kind(), number, entry, &[]);
        }
        if differences.is_empty() {
            counts.retain(|count| !is_in(count));
        } else {
            differing.get_or_insert((number, entry, differences));
        }
    }
    match differing {
        Some((number, entry, differences)) => {
            decided(&enter.common, trial.kind(), number, entry, &differences)
        }
        None => answered_for_nothing(&enter.common),
    }
}

/// `--instead` where there is nothing to replace.
fn answered_for_nothing(common: &Common) -> Result<Found, Fault> {
    if common.repeat == Some(Repeat::Instead) {
        return Err(Fault::user("nothing-to-replace").with("on", common.on));
    }
    Ok(Found::Nothing)
}

/// A season as if an entry had not been.
pub(super) fn without<'a>(bench: &'a Bench, trial: &'a Trial, number: u64) -> Season<'a> {
    Season::new(trial, bench.entries().filter(move |(other, _)| *other != number))
}

/// How a count differs from that of the same place in an entry of the day; `None` where it does not.
fn difference(season: &Season<'_>, enter: &Enter, tallies: &[Tally], now: &Counted) -> Option<Difference> {
    let same = |other: &&Tally| other.arm == now.tally.arm && other.replicate == now.tally.replicate;
    let then = tallies.iter().find(same)?;
    let taken = Taken { on: enter.common.on, stage: enter.stage, rest: None, law: Law::Fates };
    let place = place_of(season.trial, &now.tally);
    let Ok((stood, full)) = now.before.after(then, taken) else { return Some(Difference::Place { place }) };
    if stood == now.after && apart(then) == apart(&now.tally) {
        return None;
    }
    let numbers = [
        (full.alive, now.full.alive, State::Alive),
        (full.rooted, now.full.rooted, State::Rooted),
        (full.dead, now.full.dead, State::Dead),
        (full.lost, now.full.lost, State::Lost),
    ];
    Some(match numbers.into_iter().find(|(then, now, _)| then != now) {
        Some((then, now, of)) => Difference::Count { place, of, then, now },
        None => Difference::BesideNumbers { place },
    })
}

/// What a tally says beside where pieces are.
fn apart(tally: &Tally) -> Tally {
    Tally {
        arm: 0,
        replicate: None,
        alive: None,
        green: None,
        dead: None,
        of_rooted: None,
        lost: None,
        not_known: None,
        found_alive: None,
        rooted: None,
        ..tally.clone()
    }
}

/// Finds a move or a departure of the same day; `differences` says how one differs, or that it is about something else.
pub(super) fn doing(
    bench: &Bench,
    trial: &Trial,
    common: &Common,
    differences: impl Fn(&What) -> Option<Vec<Difference>>,
) -> Result<Found, Fault> {
    if common.repeat == Some(Repeat::Again) {
        return Ok(Found::Nothing);
    }
    let of_day = of_day(bench, trial, common);
    let about: Vec<(u64, &Entry, Vec<Difference>)> = of_day
        .into_iter()
        .filter_map(|(number, entry)| Some((number, entry, differences(&entry.what)?)))
        .collect();
    let same = about.iter().find(|(_, _, differences)| differences.is_empty());
    match same.or(about.first()) {
        Some((number, entry, differences)) => decided(common, trial.kind(), *number, entry, differences),
        None => answered_for_nothing(common),
    }
}

/// The answer to what is in already for a day.
pub(super) fn already_in(number: u64, on: When) -> Reply {
    of_entry(EntryOutcome::before(number, EntryCame::AlreadyIn { on }))
}
