//! Counts as they are typed, each for its place, and what they come to.

use super::{Enter, failure_of};
use crate::answer::words::kind::KindWords;
use crate::answer::words::{entry as words, fault as faults};
use propagule_bench::fates::Taken;
use propagule_bench::typed::TypedFault;
use propagule_bench::typed::cell;
use propagule_bench::typed::cell::Cell;
use propagule_bench::typed::tally;
use propagule_bench::typed::tally::Typed;
use propagule_bench::{FateFault, Law, Season, Stage, Standing, Tally, Trial, Unit};
use propagule_files::fault::Fault;
use propagule_files::paste::pasteable;

/// A count of a place with how its pieces stood before and after it.
#[derive(Clone, Debug)]
pub(super) struct Counted {
    /// As it is kept.
    pub(super) tally: Tally,
    /// With what follows from it.
    pub(super) full: Tally,
    pub(super) before: Standing,
    pub(super) after: Standing,
}

/// The word of what is being entered, by the kind of the trial.
pub(super) fn word(trial: &Trial, stage: Option<Stage>) -> &'static str {
    stage.map_or("check", |stage| KindWords::of_trial(trial).command(stage))
}

fn failure(trial: &Trial, what: &str, fault: &TypedFault) -> Fault {
    failure_of(&KindWords::of_trial(trial), what, fault)
}

/// Everything that was typed, one for each place that is named.
pub(super) fn read(trial: &Trial, enter: &Enter) -> Result<Vec<Typed>, Fault> {
    let (stage, what) = (enter.stage, word(trial, enter.stage));
    let (rows, named): (Vec<&String>, Vec<&String>) =
        enter.counts.iter().partition(|text| cell::is_row(text));
    let mut all = row(trial, &rows, stage)?;
    if let Some(text) = &enter.in_order {
        if !all.is_empty() {
            return Err(Fault::usage("counts-in-two-orders").with("what", what));
        }
        let order = super::laying_out::sheet_order(trial);
        all = tally::in_order(text, &order, trial, stage).map_err(|fault| failure(trial, what, &fault))?;
    }
    for text in named {
        let typed = tally::read_typed(text, trial, stage).map_err(|fault| failure(trial, what, &fault))?;
        beside(&mut all, typed, trial, what)?;
    }
    let were_any = !all.is_empty();
    all.retain(|typed| typed.cell != Some(Cell::NotLooked));
    if were_any && all.is_empty() {
        return Err(Fault::user("nothing-looked-at").with("what", what).with("trial", &trial.code));
    }
    Ok(all)
}

/// Cells in the order of the tags: one for each place.
pub(super) fn row(trial: &Trial, rows: &[&String], stage: Option<Stage>) -> Result<Vec<Typed>, Fault> {
    let cells: Vec<&str> = rows.iter().flat_map(|row| cell::parts(row)).collect();
    if cells.is_empty() {
        return Ok(Vec::new());
    }
    let tags = trial.tag_order();
    if cells.len() != tags.len() {
        let is_pots = tags.iter().all(|tag| tag.replicate.is_some());
        let place = if is_pots { ("pot", "pots") } else { ("place", "places") };
        let codes: Vec<&str> = tags.iter().map(|tag| tag.code.as_str()).collect();
        let what = words::wrong_number(&trial.code, place, &codes, cells.len());
        return Err(Fault::said_of_use(what).hint(format!(
            "one for each in that order, `.` for one that was not looked at; see how they stand: propagule pots {}",
            pasteable(&trial.code)
        )));
    }
    let read = |(text, tag): (&str, propagule_bench::tags::Tag)| {
        let named = |fault: TypedFault| TypedFault { text: format!("{} {text}", tag.code), ..fault };
        let cell = Cell::read(text).map_err(named)?;
        let tally = Tally { arm: tag.arm, replicate: tag.replicate.clone(), ..Tally::default() };
        Ok(Typed { tally, cell: Some(cell) })
    };
    let read = cells.into_iter().zip(tags).map(read).collect::<Result<Vec<_>, _>>();
    read.map_err(|fault| failure(trial, word(trial, stage), &fault))
}

/// Adds what is typed of a place to what a cell says of it: its cause, say.
fn beside(all: &mut Vec<Typed>, typed: Typed, trial: &Trial, what: &str) -> Result<(), Fault> {
    match all.iter_mut().find(|other| other.is_beside(&typed.tally)) {
        None => all.push(typed),
        Some(cell) if cell.cell == Some(Cell::NotLooked) => *cell = typed,
        Some(cell) if is_blank(&cell.tally) && typed.cell.is_none() => cell.tally = typed.tally,
        Some(_) => {
            let place = place_of(trial, &typed.tally);
            return Err(Fault::user("counted-twice").with("what", what).with("place", &place));
        }
    }
    Ok(())
}

fn is_blank(tally: &Tally) -> bool {
    *tally == Tally { arm: tally.arm, replicate: tally.replicate.clone(), ..Tally::default() }
}

/// What a grower calls the place of a tally.
pub(super) fn place_of(trial: &Trial, tally: &Tally) -> String {
    let arm = || trial.arm(tally.arm).map(|arm| arm.label.clone()).unwrap_or_default();
    tally.replicate.clone().unwrap_or_else(arm)
}

/// What is typed, taken on top of a season. Tallies that need no rest stay as typed, so that a correction of an
/// earlier count can still change what follows from it; places that nobody looked at are left out.
pub(super) fn settled(season: &Season<'_>, typed: &[Typed], enter: &Enter) -> Result<Vec<Counted>, Fault> {
    let mut out = Vec::new();
    for typed in typed {
        let unit = unit_of(season, &typed.tally);
        let before = unit.standing_on(enter.common.on.middle());
        let what = word(season.trial, enter.stage);
        let place = unit.label(season.trial);
        let named = |fault: TypedFault| {
            let text = if fault.text.is_empty() { place.to_owned() } else { fault.text.clone() };
            failure(season.trial, what, &TypedFault { text, ..fault })
        };
        let Some(tally) = typed.settle(enter.stage, &before).map_err(named)? else { continue };
        if enter.stage.is_none() {
            check_alive(season.trial, unit, &before, &tally)?;
        }
        let taken = Taken { on: enter.common.on, stage: enter.stage, rest: enter.rest, law: Law::Fates };
        let fits = before.after(&tally, taken);
        let (after, full) =
            fits.map_err(|fault| explain(what, season.trial, unit, &before, &tally, &fault))?;
        let tally = if enter.rest.is_some() { full.clone() } else { tally };
        out.push(Counted { tally, full, before, after });
    }
    Ok(out)
}

pub(super) fn unit_of<'a>(season: &'a Season<'_>, tally: &Tally) -> &'a Unit {
    let is_it = |unit: &&Unit| unit.arm == tally.arm && unit.replicate == tally.replicate;
    season.units.iter().find(is_it).expect("tallies are read against the same trial")
}

/// Refuses a number of living pieces that cannot be, with what was perhaps meant.
fn check_alive(trial: &Trial, unit: &Unit, before: &Standing, tally: &Tally) -> Result<(), Fault> {
    let Some(alive) = tally.alive else { return Ok(()) };
    let (place, code) = (unit.label(trial), pasteable(&trial.code));
    let (base, dead) = (before.base(), before.fates.dead.all());
    let tag = pasteable(place);
    if alive > unit.started {
        let had = (before.fates.alive(), dead);
        return Err(Fault::said(words::more_than_put_in(place, had, alive, unit.started)).hint(format!(
            "correct the number; if more were put in: propagule trial correct {code} --started {tag}={alive}"
        )));
    }
    let base = base + tally.found_alive.unwrap_or(0);
    let others = [(tally.dead, "dead", 'd'), (tally.lost, "lost", 'l'), (tally.not_known, "not known", '?')];
    let gone: u16 = others.iter().filter_map(|(n, ..)| *n).fold(0, u16::saturating_add);
    let sum = u32::from(alive) + u32::from(gone);
    let is_too_much = sum > u32::from(base) && gone > 0;
    let is_too_little = sum < u32::from(base) && tally.dead.is_some() && tally.rooted.is_none();
    if is_too_much || is_too_little {
        let stated = others.iter().filter_map(|(n, word, _)| Some((n.filter(|n| *n > 0)?, *word)));
        let parts: Vec<(u16, &str)> = std::iter::once((alive, "alive")).chain(stated).collect();
        let meant = base.checked_sub(gone).filter(|_| tally.not_known.is_none()).map(|alive| {
            let letters =
                others.iter().filter_map(|(n, _, letter)| Some(format!("{letter}{}", n.filter(|n| *n > 0)?)));
            format!("{alive}{}", letters.collect::<String>())
        });
        return Err(Fault::said(words::no_sum(place, base, &parts, meant.as_deref()))
            .hint("the first number is those alive now; dead and lost are those since the last look"));
    }
    if alive <= base {
        return Ok(());
    }
    if alive - base <= dead - tally.found_alive.unwrap_or(0) {
        return Err(Fault::said(words::perhaps_alive(place, base, alive))
            .hint(format!("write {alive}! if so, or correct the number")));
    }
    Err(Fault::said(words::more_than_left(place, base, alive, dead))
        .hint(format!("see what is known: propagule trial history {code}")))
}

fn explain(
    what: &str,
    trial: &Trial,
    unit: &Unit,
    before: &Standing,
    tally: &Tally,
    fault: &FateFault,
) -> Fault {
    let (place, said) = (unit.label(trial), KindWords::of_trial(trial));
    let standing = format!(
        "of {} put in, {} were left at the last count ({} dead, {} lost before)",
        unit.started,
        before.base(),
        before.fates.dead.all(),
        before.fates.lost.all()
    );
    let failure = Fault::user("counts-contradict-season")
        .with("what", what)
        .with("place", place)
        .with("faults", faults::fate(fault, &said))
        .with("standing", &standing);
    match fault {
        FateFault::Sum { alive, base, .. }
            if tally.rooted.is_some()
                && u32::from(*alive) + u32::from(tally.rooted.unwrap_or(0)) == u32::from(*base) =>
        {
            failure.hint(faults::alive_counts_all(place, tally.rooted.unwrap_or(0), *alive, &said))
        }
        FateFault::Sum { .. } => {
            failure.hint("dead and lost count only those since the last count; alive all that live")
        }
        FateFault::Unaccounted { .. } => {
            failure.hint("say what became of the rest: --rest alive, --rest dead or --rest not-known")
        }
        FateFault::GreenOnly { green, alive } => {
            failure.hint(faults::others_as_well(place, *green, alive - green, &said))
        }
        FateFault::RootsGone { short, .. } => {
            failure.hint(format!("correct an earlier count, or say what went, such as {place}:dead={short}"))
        }
        FateFault::TooMany { .. } => {
            failure.hint(format!("see what is known: propagule trial history {}", pasteable(&trial.code)))
        }
    }
}
