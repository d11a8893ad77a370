//! What is counted, each at its place, and what it comes to.

use super::Enter;
use propagule_bench::fates::Taken;
use propagule_bench::typed::cell::{Cell, Numbers};
use propagule_bench::typed::tally::PlaceCount;
use propagule_bench::{FateFault, Law, Mark, Season, Stage, Standing, Tally, Trial, Unit};
use propagule_files::fault::Fault;

/// The most pieces of one count.
const MOST: u16 = 10_000;

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

/// A fault that can be said in the words of the trial's kind and stage.
fn of_kind(fault: Fault, trial: &Trial, stage: Option<Stage>) -> Fault {
    let fault = fault.with("kind", trial.kind().word());
    match stage {
        Some(stage) => fault.with("stage", stage.word()),
        None => fault,
    }
}

/// What was counted, one for each place that was looked at; nothing where nothing is named.
pub(super) fn given(trial: &Trial, enter: &Enter) -> Result<Vec<PlaceCount>, Fault> {
    let checked = checked(trial, &enter.counts).map_err(|fault| of_kind(fault, trial, enter.stage))?;
    let mut all = checked;
    let were_any = !all.is_empty();
    all.retain(|count| count.cell != Some(Cell::NotLooked));
    if were_any && all.is_empty() {
        let fault = Fault::user("nothing-looked-at").with("trial", &trial.code);
        return Err(of_kind(fault, trial, enter.stage));
    }
    Ok(all)
}

fn checked(trial: &Trial, counts: &[PlaceCount]) -> Result<Vec<PlaceCount>, Fault> {
    let mut all: Vec<PlaceCount> = Vec::new();
    for count in counts {
        check_place(trial, &count.tally)?;
        let place = place_of(trial, &count.tally);
        if all.iter().any(|other| other.is_beside(&count.tally)) {
            return Err(Fault::user("counted-twice")
                .with("place", &place)
                .in_field(format!("counts/{place}")));
        }
        if count.is_blank() {
            return Err(Fault::user("count-empty").with("text", &place).in_field(format!("counts/{place}")));
        }
        if let Some((name, number)) = numbers(count).find(|(_, number)| *number > MOST) {
            return Err(Fault::user("count-not-a-number")
                .with("text", number)
                .in_field(format!("counts/{place}/{name}")));
        }
        all.push(without_blanks(count));
    }
    Ok(all)
}

/// Refuses a place that the trial does not have.
pub(super) fn check_place(trial: &Trial, tally: &Tally) -> Result<(), Fault> {
    let arm = trial.arm(tally.arm);
    let is_there = arm.is_some_and(|arm| match &tally.replicate {
        Some(code) => arm.replicates.iter().any(|replicate| replicate.code == *code),
        None => arm.replicates.is_empty(),
    });
    if is_there {
        return Ok(());
    }
    let named = tally.replicate.clone().or_else(|| arm.map(|arm| arm.label.clone()));
    Err(Fault::user("place-gone")
        .with("trial", &trial.code)
        .with("text", named.unwrap_or_else(|| tally.arm.to_string())))
}

/// Every number of a count, under the word that it is typed with.
fn numbers(count: &PlaceCount) -> impl Iterator<Item = (&str, u16)> {
    let PlaceCount { tally, cell } = count;
    let Numbers { count, rooted, green, dead, lost, is_found: _ } = match cell {
        Some(Cell::Counted(numbers)) => *numbers,
        _ => Numbers::default(),
    };
    let states = tally.counts().into_iter().filter_map(|(name, count)| Some((name, count?)));
    let cells =
        [("alive", Some(count)), ("rooted", rooted), ("green", green), ("dead", dead), ("lost", lost)];
    let cells = cells.into_iter().filter_map(|(name, count)| Some((name, count?)));
    let marks = tally.marks.iter().filter_map(|(name, mark)| match mark {
        Mark::Count(count) => Some((name.as_str(), *count)),
        Mark::None | Mark::Some | Mark::Most => None,
    });
    let listed = |name, list: &[u16]| list.iter().map(move |count| (name, *count)).collect::<Vec<_>>();
    states
        .chain(cells)
        .chain(marks)
        .chain(tally.longest_root.map(|mm| ("longest-root", mm)))
        .chain(listed("root-counts", &tally.root_counts))
        .chain(listed("grade", &tally.grades))
}

/// Words without spaces around them; none where nothing is left of them.
fn without_blanks(count: &PlaceCount) -> PlaceCount {
    let trimmed = |words: &Option<String>| {
        words.as_deref().map(str::trim).filter(|words| !words.is_empty()).map(str::to_owned)
    };
    let Tally { cause, grade_scale, .. } = &count.tally;
    let (cause, grade_scale) = (trimmed(cause), trimmed(grade_scale));
    PlaceCount { tally: Tally { cause, grade_scale, ..count.tally.clone() }, cell: count.cell }
}

/// What a grower calls the place of a tally.
pub(super) fn place_of(trial: &Trial, tally: &Tally) -> String {
    let arm = || trial.arm(tally.arm).map(|arm| arm.label.clone()).unwrap_or_default();
    tally.replicate.clone().unwrap_or_else(arm)
}

/// What was counted, taken on top of a season. Tallies that need no rest stay as given, so that a correction of an
/// earlier count can still change what follows from it; places that nobody looked at are left out.
pub(super) fn settled(
    season: &Season<'_>,
    counts: &[PlaceCount],
    enter: &Enter,
) -> Result<Vec<Counted>, Fault> {
    let mut out = Vec::new();
    for count in counts {
        let place = place_of(season.trial, &count.tally);
        let settled = one(season, count, enter, &place)
            .map_err(|fault| of_kind(fault, season.trial, enter.stage).in_field(format!("counts/{place}")))?;
        out.extend(settled);
    }
    Ok(out)
}

fn one(
    season: &Season<'_>,
    count: &PlaceCount,
    enter: &Enter,
    place: &str,
) -> Result<Option<Counted>, Fault> {
    let unit = unit_of(season, &count.tally);
    let before = unit.standing_on(enter.common.on.middle());
    let Some(tally) = count.settle(enter.stage, &before, place)? else { return Ok(None) };
    if enter.stage.is_none() {
        check_alive(season.trial, unit, &before, &tally)?;
    }
    let taken = Taken { on: enter.common.on, stage: enter.stage, rest: enter.rest, law: Law::Fates };
    let fits = before.after(&tally, taken);
    let (after, full) = fits.map_err(|fault| explain(season.trial, unit, &before, &tally, &fault))?;
    let tally = if enter.rest.is_some() { full.clone() } else { tally };
    Ok(Some(Counted { tally, full, before, after }))
}

pub(super) fn unit_of<'a>(season: &'a Season<'_>, tally: &Tally) -> &'a Unit {
    let is_it = |unit: &&Unit| unit.arm == tally.arm && unit.replicate == tally.replicate;
    season.units.iter().find(is_it).expect("places are checked against the same trial")
}

/// Refuses a number of living pieces that cannot be, with what was perhaps meant.
fn check_alive(trial: &Trial, unit: &Unit, before: &Standing, tally: &Tally) -> Result<(), Fault> {
    let Some(alive) = tally.alive else { return Ok(()) };
    let place = unit.label(trial);
    let (base, dead) = (before.base(), before.fates.dead.all());
    if alive > unit.started {
        return Err(Fault::user("alive-more-than-put-in")
            .with("trial", &trial.code)
            .with("place", place)
            .with("before", before.fates.alive())
            .with("dead", dead)
            .with("alive", alive)
            .with("started", unit.started));
    }
    check_sum(place, base + tally.found_alive.unwrap_or(0), tally)?;
    let base = base + tally.found_alive.unwrap_or(0);
    if alive <= base {
        return Ok(());
    }
    if alive - base <= dead - tally.found_alive.unwrap_or(0) {
        return Err(Fault::user("alive-perhaps-found")
            .with("place", place)
            .with("base", base)
            .with("alive", alive)
            .with("found", alive - base));
    }
    Err(Fault::user("alive-more-than-left")
        .with("trial", &trial.code)
        .with("place", place)
        .with("base", base)
        .with("alive", alive)
        .with("dead", dead))
}

/// Refuses living, dead, lost and not known ones that do not add up to those that were left.
fn check_sum(place: &str, base: u16, tally: &Tally) -> Result<(), Fault> {
    let Some(alive) = tally.alive else { return Ok(()) };
    let gone: u16 =
        [tally.dead, tally.lost, tally.not_known].iter().flatten().copied().fold(0, u16::saturating_add);
    let sum = u32::from(alive) + u32::from(gone);
    let is_too_much = sum > u32::from(base) && gone > 0;
    let is_too_little = sum < u32::from(base) && tally.dead.is_some() && tally.rooted.is_none();
    if !is_too_much && !is_too_little {
        return Ok(());
    }
    let meant = base.checked_sub(gone).filter(|_| tally.not_known.is_none());
    let meant =
        meant.map(|count| Numbers { count, dead: tally.dead, lost: tally.lost, ..Numbers::default() });
    let number = |count: Option<u16>| count.unwrap_or(0);
    let fault = match meant {
        Some(meant) => Fault::user("alive-no-sum-meant")
            .with("place", place)
            .with("base", base)
            .with("alive", alive)
            .with("sum", sum)
            .with("meant", meant),
        None => Fault::user("alive-no-sum")
            .with("place", place)
            .with("base", base)
            .with("alive", alive)
            .with("sum", sum),
    };
    Err(fault
        .with("dead", number(tally.dead))
        .with("lost", number(tally.lost))
        .with("not_known", number(tally.not_known)))
}

fn explain(trial: &Trial, unit: &Unit, before: &Standing, tally: &Tally, fault: &FateFault) -> Fault {
    let failure = Fault::user("counts-contradict-season")
        .with("place", unit.label(trial))
        .with("trial", &trial.code)
        .with("fault", super::as_data(fault))
        .with("started", unit.started)
        .with("base", before.base())
        .with("dead", before.fates.dead.all())
        .with("lost", before.fates.lost.all());
    match fault {
        FateFault::Sum { alive, base, .. }
            if tally.rooted.is_some()
                && u32::from(*alive) + u32::from(tally.rooted.unwrap_or(0)) == u32::from(*base) =>
        {
            let rooted = tally.rooted.unwrap_or(0);
            failure.with("rooted", rooted).with("alive", alive).hint_named("alive-counts-rooted-too")
        }
        FateFault::Sum { .. } => failure.hint_named("dead-and-lost-since-last-count"),
        FateFault::Unaccounted { .. } => failure.hint_named("say-what-became-of-the-rest"),
        FateFault::GreenOnly { green, alive } => {
            failure.with("green", green).with("others", alive - green).hint_named("others-beside-green")
        }
        FateFault::RootsGone { short, .. } => failure.with("short", short).hint_named("say-what-went"),
        FateFault::TooMany { .. } => failure.hint_named("see-history"),
    }
}
