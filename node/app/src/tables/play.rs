//! Counts of a row put in the order of their days, each checked by the same rules as a typed entry.

use super::Checks;
use super::cell::Value;
use super::columns::of_stage;
use super::kind::kind_of;
use super::row::{Row, RowCount};
use propagule_bench::dates::When;
use propagule_bench::fates::{Standing, Taken};
use propagule_bench::season::Point;
use propagule_bench::{FateFault, Law, Rest, Stage, Tally, Unit};
use propagule_files::fault::{Fault, Problem};

/// What a row says of a day.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Dated {
    pub(crate) stage: Option<Stage>,
    pub(crate) on: When,
    /// As typed.
    pub(super) raw: Tally,
    /// With what follows from it.
    pub(crate) full: Tally,
    /// As it is to be saved.
    pub(super) saved: Tally,
    /// Pieces that left as finished just before.
    pub(crate) left: u16,
    /// Pieces that nobody mentions, and of how many.
    pub(crate) not_mentioned: Option<(u16, u16)>,
    /// Pieces that were left before.
    pub(crate) base: u16,
    /// How they stood before.
    pub(super) before: Standing,
}

/// How the counts of a unit are read.
#[derive(Clone, Copy, Debug)]
pub(super) struct Rules<'a> {
    pub(super) checks: Option<Checks>,
    pub(super) rest: Option<Rest>,
    pub(super) arm: u8,
    pub(super) replicate: Option<&'a str>,
    /// The unit as it is known.
    pub(super) known: Option<&'a Unit>,
}

/// The order of a check and the stages on one day.
pub(super) fn order(stage: Option<Stage>) -> u8 {
    stage.map_or(0, |stage| 1 + stage as u8)
}

/// All counts of a row.
///
/// # Errors
/// Why they cannot be, by line and column.
pub(super) fn play(row: &Row, rules: Rules<'_>) -> Result<Vec<Dated>, Problem> {
    check_parts(row)?;
    let mut days: Vec<(Option<Stage>, When)> = Vec::new();
    for count in &row.counts {
        if !days.contains(&(count.stage, count.on)) {
            days.push((count.stage, count.on));
        }
    }
    days.sort_by_key(|(stage, on)| (on.middle(), order(*stage)));
    let mut standing = Standing::fresh(row.started);
    let mut last = None;
    let mut found = Vec::new();
    for (stage, on) in days {
        let at = (on.middle(), order(stage));
        if let Some((point, before)) = known_before(rules, at)
            && last.is_none_or(|last| point > last)
        {
            standing = before;
        }
        let of_day = row.counts.iter().filter(|count| (count.stage, count.on) == (stage, on));
        let of_day: Vec<&RowCount> = of_day.collect();
        let dated = on_day(row, &of_day, &standing, rules)?;
        if let Some((dated, next)) = dated {
            found.push(dated);
            standing = next;
        }
        last = Some(at);
    }
    Ok(found)
}

/// A day and the order of what was counted on it.
type At = (propagule_protocol::Date, u8);

/// The last known count before a place in time, and how the pieces stood then.
fn known_before(rules: Rules<'_>, at: At) -> Option<(At, Standing)> {
    let place = |point: &Point| (point.on.middle(), order(point.stage));
    let last = rules.known?.points.iter().rev().find(|point| place(point) < at)?;
    Some((place(last), last.standing.clone()))
}

fn on_day(
    row: &Row,
    counts: &[&RowCount],
    standing: &Standing,
    rules: Rules<'_>,
) -> Result<Option<(Dated, Standing)>, Problem> {
    let (stage, on) = (counts[0].stage, counts[0].on);
    let left = count(counts, "left_as_finished").unwrap_or(0);
    let newly_left = left.saturating_sub(standing.fates.finished.all());
    let column = &counts[0].column;
    let kind = kind_of(row).word();
    let before = standing.left(newly_left, true).map_err(|fault| {
        let fault = Fault::user("table-more-left-than-alive").with_data("fault", &fault).with("kind", kind);
        Problem::of_cell(row.line, column, fault)
    })?;
    let raw = tally(counts, &before, left, rules);
    let base = before.base();
    if base == 0 && newly_left == 0 && raw.counts().iter().all(|(_, count)| count.unwrap_or(0) == 0) {
        return Ok(None);
    }
    let taken = |rest: Option<Rest>| Taken { on, stage, rest, law: Law::Fates };
    let plain = before.after(&raw, taken(None));
    let is_open = matches!(plain, Err(FateFault::Unaccounted { .. }));
    let rest = rules.rest.or(is_open.then_some(Rest::NotKnown)).filter(|_| stage.is_some());
    let result = if rest.is_some() { before.after(&raw, taken(rest)) } else { plain.clone() };
    let is_settled = rest.is_some() && result != plain;
    let (next, full) =
        result.map_err(|fault| Problem::of_cell(row.line, column, impossible(row, (stage, on), &fault)))?;
    let sum =
        |tally: &Tally| [tally.alive, tally.dead, tally.lost, tally.not_known].iter().flatten().sum::<u16>();
    let mentioned =
        sum(&Tally { alive: raw.alive.or(raw.rooted).or(raw.finished).or(raw.established), ..raw.clone() });
    let not_mentioned = is_settled.then(|| (base.saturating_sub(mentioned), base));
    let saved = if is_settled { full.clone() } else { raw.clone() };
    Ok(Some((Dated { stage, on, raw, full, saved, left: newly_left, not_mentioned, base, before }, next)))
}

/// A known count with what a row says of it: what the row leaves out stays, unless the count was filled up by what
/// became of the rest.
///
/// # Errors
/// When the two contradict each other.
pub(super) fn over(known: &Tally, dated: &Dated, rest: Option<Rest>, row: &Row) -> Result<Tally, Problem> {
    if known.not_known.is_some() || rest.is_some() {
        return Ok(dated.saved.clone());
    }
    let new = &dated.raw;
    let merged = Tally {
        alive: new.alive.or(known.alive),
        green: new.green.or(known.green),
        dead: new.dead.or(known.dead),
        lost: new.lost.or(known.lost),
        callused: new.callused.or(known.callused),
        rooted: new.rooted.or(known.rooted),
        established: new.established.or(known.established),
        finished: new.finished.or(known.finished),
        ..known.clone()
    };
    let taken = Taken { on: dated.on, stage: dated.stage, rest: None, law: Law::Fates };
    let fits = dated.before.after(&merged, taken);
    let column = dated.stage.map_or("check".to_owned(), |stage| of_stage(stage, "on"));
    let refused = |fault: FateFault| {
        Problem::of_cell(row.line, &column, impossible(row, (dated.stage, dated.on), &fault))
    };
    fits.map(|_| merged).map_err(refused)
}

/// That a count of a row contradicts those before it.
fn impossible(row: &Row, (stage, on): (Option<Stage>, When), why: &FateFault) -> Fault {
    let hint = match why {
        FateFault::TooMany { .. } | FateFault::Sum { .. } => "look-for-a-slip-in-the-counts",
        FateFault::RootsGone { .. } => "say-what-went-or-look-for-a-slip",
        FateFault::Unaccounted { .. } => "rest-of-a-table",
        FateFault::GreenOnly { .. } => "columns-of-the-others",
    };
    Fault::user("table-count-impossible")
        .with("stage", stage.map_or("check", Stage::word))
        .with("on", on)
        .with_data("fault", why)
        .with("kind", kind_of(row).word())
        .hint_named(hint)
}

pub(super) fn count(counts: &[&RowCount], what: &str) -> Option<u16> {
    counts.iter().find(|count| count.what == what).and_then(|count| match count.value {
        Value::Count(count) => Some(count),
        _ => None,
    })
}

/// Counts as a tally: a table counts all dead and lost so far at a stage, the bench those since the last count.
fn tally(counts: &[&RowCount], before: &Standing, left: u16, rules: Rules<'_>) -> Tally {
    let base = before.base();
    let fates = &before.fates;
    let mut tally =
        Tally { arm: rules.arm, replicate: rules.replicate.map(str::to_owned), ..Tally::default() };
    for count in counts {
        let so_far = count.stage.is_some() || rules.checks == Some(Checks::DeadSoFar);
        let what =
            if count.what.is_empty() { rules.checks.map_or("alive", Checks::what) } else { &count.what };
        match count.value {
            Value::Count(number) => {
                let since = |earlier: u16| if so_far { number.saturating_sub(earlier) } else { number };
                match what {
                    "dead" => tally.dead = Some(since(fates.dead.all())),
                    "lost" => tally.lost = Some(since(fates.lost.all())),
                    "finished" => tally.finished = Some(number.saturating_sub(left.min(number))),
                    "left_as_finished" => {}
                    _ => set(&mut tally, what, number),
                }
            }
            Value::AllDead => (tally.alive, tally.dead) = (Some(0), Some(base)),
            Value::AllLost => (tally.alive, tally.lost) = (Some(0), Some(base)),
            Value::AllAlive => tally.alive = Some(base),
            Value::NotKnown => (tally.alive, tally.not_known) = (Some(0), Some(base)),
            Value::Yes => yes(&mut tally, what, count.stage, base),
            Value::No => no(&mut tally, what, base),
            Value::NotCounted => {}
        }
    }
    tally
}

fn set(tally: &mut Tally, what: &str, number: u16) {
    let place = match what {
        "alive" => &mut tally.alive,
        "green" => &mut tally.green,
        "callused" => &mut tally.callused,
        "rooted" => &mut tally.rooted,
        "established" => &mut tally.established,
        "not_known" => &mut tally.not_known,
        _ => return,
    };
    *place = Some(number);
}

/// One piece did what the column asks.
fn yes(tally: &mut Tally, what: &str, stage: Option<Stage>, base: u16) {
    match what {
        "dead" => tally.dead = Some(base),
        "lost" => tally.lost = Some(base),
        "rooted" => {
            tally.rooted = Some(1);
            tally.established = matches!(stage, Some(Stage::Season | Stage::Spring)).then_some(1);
        }
        "finished" => (tally.rooted, tally.finished) = (Some(1), Some(1)),
        other => set(tally, other, 1),
    }
}

/// One piece did not: at a stage it is dead, since one that waits is told apart by a column of its own.
fn no(tally: &mut Tally, what: &str, base: u16) {
    match what {
        "dead" => tally.dead = Some(0),
        "lost" => tally.lost = Some(0),
        "rooted" | "finished" | "alive" => {
            (tally.alive, tally.dead, tally.rooted) = (Some(0), Some(base), Some(0));
        }
        other => set(tally, other, 0),
    }
}

/// The laws of counting that hold for a row by itself.
fn check_parts(row: &Row) -> Result<(), Problem> {
    Stage::ALL.into_iter().try_for_each(|stage| check_stage(row, stage))?;
    check_finished(row)
}

fn check_stage(row: &Row, stage: Stage) -> Result<(), Problem> {
    let (started, kind) = (row.started, kind_of(row).word());
    let counts: Vec<&RowCount> = row.counts.iter().filter(|count| count.stage == Some(stage)).collect();
    let of = |what: &str| count(&counts, what);
    let refused = |what: &str, fault: Fault| {
        let own = counts.iter().find(|count| count.what == what).map(|count| count.column.clone());
        let column = own.unwrap_or_else(|| of_stage(stage, what));
        Err(Problem::of_cell(row.line, &column, fault.with("kind", kind)))
    };
    for what in super::columns::COUNT_COLUMNS {
        let Some(count) = of(what).filter(|count| *count > started) else { continue };
        let fault = Fault::user("table-more-than-put-in")
            .with("count", count)
            .with("what", what)
            .with("started", started);
        return refused(what, fault);
    }
    for what in ["rooted", "callused"] {
        if let (Some(alive), Some(part)) = (of("alive"), of(what))
            && part > alive
        {
            let fault = Fault::user("table-more-than-alive")
                .with("part", part)
                .with("what", what)
                .with("alive", alive);
            return refused(what, fault);
        }
    }
    let fates = ["alive", "dead", "lost", "not_known", "left_as_finished"].map(of);
    let sum: u32 = fates.iter().flatten().map(|count| u32::from(*count)).sum();
    let all_given = fates[..3].iter().all(Option::is_some) && fates[3].is_none();
    if sum > u32::from(started) || (all_given && sum != u32::from(started)) {
        let fault = Fault::user("table-fates-do-not-add-up").with("sum", sum).with("started", started);
        return refused("alive", fault);
    }
    Ok(())
}

/// Finished plants had taken before.
fn check_finished(row: &Row) -> Result<(), Problem> {
    let of = |stage: Stage, what: &str| {
        row.counts.iter().find(|count| count.stage == Some(stage) && count.what == what)
    };
    let number = |count: Option<&RowCount>| match count.map(|count| count.value) {
        Some(Value::Count(number)) => Some(number),
        _ => None,
    };
    let finished = of(Stage::Final, "finished");
    let (Some(plants), Some(taken)) = (number(finished), number(of(Stage::Lift, "rooted"))) else {
        return Ok(());
    };
    // What still waits at lift may take later, so that only grafts and buds are bound by their count.
    let is_bound = row.facets.get("kind").is_some_and(|kind| kind.contains("graft") || kind.contains("bud"));
    if plants > taken && is_bound {
        let fault = Fault::user("table-more-finished-than-taken")
            .with("plants", plants)
            .with("taken", taken)
            .with("kind", kind_of(row).word());
        let column = finished.map_or("", |count| &count.column);
        return Err(Problem::of_cell(row.line, column, fault));
    }
    Ok(())
}
