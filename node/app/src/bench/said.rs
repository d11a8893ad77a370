//! What came of an entry: what happened in each pot, and how the trial stands after it.

use super::counting::{Counted, place_of};
use crate::outcome::entry::{
    AfterEntry, Counted as CountedOutcome, EntryCame, HadRoots, PlaceChange, PlaceRoots, PlaceStands,
    RootsSeen, Total,
};
use crate::outcome::take_back::TakeBack;
use propagule_bench::{Entry, Season, Stage, Trial, Unit, What};

/// An entry that is saved, with all that it says.
pub(super) struct Saved<'a> {
    /// Its number.
    pub(super) number: u64,
    pub(super) entry: &'a Entry,
    /// Number of the correction, where it took the place of another entry of the day.
    pub(super) correction: Option<u64>,
    /// What was counted now.
    pub(super) counted: &'a [Counted],
}

/// What came of counts, of a look, and of what is done on a whole trial.
pub(super) fn came(season: &Season<'_>, trial: &Trial, saved: &Saved<'_>) -> EntryCame {
    let after = after(season, trial, saved);
    match &saved.entry.what {
        What::Counted { stage, .. } => {
            let roots = if stage.is_none() { roots(season, trial, saved.counted) } else { None };
            EntryCame::Counted(Box::new(CountedOutcome { stage: *stage, roots, after }))
        }
        What::Suckers { .. } => EntryCame::Suckers(Box::new(after)),
        What::WrapCut { .. } => EntryCame::WrapCut(Box::new(after)),
        _ => EntryCame::Looked(Box::new(after)),
    }
}

fn after(season: &Season<'_>, trial: &Trial, saved: &Saved<'_>) -> AfterEntry {
    let Saved { number, entry, correction, counted } = *saved;
    AfterEntry {
        trial: trial.code.clone(),
        kind: trial.kind(),
        on: entry.on,
        correction,
        stands: stands(season, trial),
        changes: counted.iter().map(|counted| change(trial, counted)).collect(),
        not_counted_yet: pending(season, trial, entry),
        total: total(season, number, entry),
        take_back: TakeBack::entry(&trial.code, number),
    }
}

/// Each place of a trial as it stands.
pub(super) fn stands(season: &Season<'_>, trial: &Trial) -> Vec<PlaceStands> {
    season.units.iter().map(|unit| place(trial, unit)).collect()
}

/// A place as it stands.
pub(super) fn place(trial: &Trial, unit: &Unit) -> PlaceStands {
    let standing = unit.standing();
    let fates = standing.fates;
    PlaceStands {
        place: unit.label(trial).to_owned(),
        started: unit.started,
        alive: fates.alive(),
        not_known: fates.not_known.all(),
        dead: fates.dead.all(),
        lost: fates.lost.all(),
        left: fates.finished.all(),
        left_below: fates.below.all(),
        rooted: standing.rooted(),
        ever_rooted: standing.ever_rooted(),
    }
}

/// What happened in a place.
fn change(trial: &Trial, counted: &Counted) -> PlaceChange {
    let Counted { tally, full, before, after } = counted;
    PlaceChange {
        place: place_of(trial, tally),
        before: before.fates.alive(),
        alive: after.fates.alive(),
        died: full.dead.unwrap_or(0),
        lost: full.lost.unwrap_or(0),
        found_alive: full.found_alive.unwrap_or(0),
        not_known: full.not_known.unwrap_or(0),
        rooted: full.rooted,
        callused: tally.callused,
        established: tally.established,
        finished: tally.finished,
        marks: tally.marks.keys().cloned().collect(),
        cause: tally.cause.clone(),
        had_roots: had_roots(counted),
    }
}

/// Where roots were seen; none where nobody looked for them, or where it follows from what was typed of the only place.
fn roots(season: &Season<'_>, trial: &Trial, counted: &[Counted]) -> Option<RootsSeen> {
    let mut roots = RootsSeen { seen: Vec::new(), not_looked: Vec::new() };
    for counted in counted {
        let place = place_of(trial, &counted.tally);
        match counted.full.rooted {
            Some(rooted) => {
                roots.seen.push(PlaceRoots { place, rooted, alive: counted.after.fates.alive() });
            }
            None => roots.not_looked.push(place),
        }
    }
    let is_typed = |counted: &Counted| counted.tally.rooted.is_some() || counted.tally.green.is_some();
    let is_only = season.units.len() == 1 && roots.seen.len() == 1;
    let is_told = !roots.seen.is_empty() && (!is_only || counted.iter().any(is_typed));
    is_told.then_some(roots)
}

/// Where fewer have roots than at the look before: how many of those that went had them. Who says so himself is not told.
fn had_roots(counted: &Counted) -> Option<HadRoots> {
    let Counted { tally, full, before, after } = counted;
    let (were, now) = (before.rooted()?, full.rooted?);
    let gone = [full.dead, full.lost].into_iter().flatten().sum::<u16>();
    let had = HadRoots { were, now, went: before.unsettled() + gone, ever: after.ever_rooted()? };
    (now < were && had.went > 0 && tally.of_rooted.is_none()).then_some(had)
}

/// The whole trial on the day of an entry.
fn total(season: &Season<'_>, number: u64, entry: &Entry) -> Total {
    let day = entry.on.middle();
    let all = season.all_on(day);
    let is_carried = |unit: &&Unit| unit.points.iter().all(|point| point.entry != number);
    Total {
        started: all.started,
        alive: all.alive(),
        carried: season.units.iter().filter(is_carried).map(|unit| unit.row_on(day).alive()).sum(),
        ever_rooted_at_least: all.at_least,
        looked_for: all.looked_for,
    }
}

/// Places that a count at a stage left out.
fn pending(season: &Season<'_>, trial: &Trial, entry: &Entry) -> Vec<String> {
    let What::Counted { stage: Some(stage), .. } = entry.what else { return Vec::new() };
    let is_open = |unit: &&Unit| unit.standing().base() > 0 && !is_counted(unit, stage);
    season.units.iter().filter(is_open).map(|unit| unit.label(trial).to_owned()).collect()
}

fn is_counted(unit: &Unit, stage: Stage) -> bool {
    unit.points.iter().any(|point| point.stage == Some(stage))
}
