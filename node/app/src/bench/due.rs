//! What is due, as a list and as a calendar file.

use propagule_protocol::Date;
use propagule_protocol::place::Hemisphere;

use super::request::DuePart;
use super::spots;
use crate::outcome::Outcome;
use crate::outcome::due::{
    AsleepOfYear, DueCalendar, DueFolds, DueGroup, DueLine, DueList, DueSection, DueTask,
};
use crate::outcome::said::Said;
use crate::{App, Reply};
use propagule_bench::due::agenda::{Group, Standpoint};
use propagule_bench::due::{Agenda, Due, Published, State, TrialDue, of_trial};
use propagule_bench::{Bench, Season, Trial};
use propagule_files::fault::Fault;

/// Lines that a screen holds.
const LINES: usize = 40;

/// Whether what is folded away takes lines of the same screen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Screen {
    /// A terminal, which should not roll.
    Terminal,
    /// A page, which rolls.
    Page,
}

impl Screen {
    /// Lines that the tasks may take beside what is folded away.
    fn room(self, folds: &DueFolds) -> usize {
        match self {
            // What had no room, and the next command behind a blank line; a fold may take two lines of a narrow screen.
            Self::Terminal => LINES - 3 - 2 * lines(folds),
            Self::Page => LINES,
        }
    }
}

/// Lines of what is folded away; below those that sleep it is said how to see and how to close them.
fn lines(folds: &DueFolds) -> usize {
    let asleep = if folds.asleep.is_empty() { 0 } else { 3 };
    usize::from(!folds.late.is_empty()) + asleep + usize::from(!folds.unpublished.is_empty())
}

/// All that is due, or what is due at one spot or for one trial.
pub(crate) fn agenda(app: &App, as_of: Date, part: &DuePart) -> Result<Agenda, Fault> {
    let is_publishing = publishes(app)?;
    let bench = app.bench();
    let spot = part.spot.as_deref().map(|name| spots::find(&bench, name)).transpose()?;
    let trials: Vec<&Trial> = match &part.trial {
        Some(code) => vec![crate::trial::find(bench.trial(code), code, bench.trials())?],
        None => bench.trials().collect(),
    };
    let mut all = Vec::new();
    for trial in trials {
        let season = bench.season(trial);
        let at = standpoint(&bench, &season, as_of);
        let is_elsewhere = |spot: &&propagule_bench::spot::Spot| {
            at.spot.as_ref().is_none_or(|on| !on.eq_ignore_ascii_case(&spot.name))
        };
        if spot.as_ref().is_some_and(is_elsewhere) {
            continue;
        }
        let hemisphere = hemisphere(&bench, trial);
        let published = if is_publishing && !trial.is_private { Some(published(app, trial)?) } else { None };
        let tasks = of_trial(&season, hemisphere, published);
        all.extend(TrialDue::of(&season, tasks, at, as_of, hemisphere));
    }
    Ok(Agenda::new(as_of, all))
}

/// Whether results are asked for: the grower chose so, or has published before and did not choose otherwise.
pub(crate) fn publishes(app: &App) -> Result<bool, Fault> {
    let chosen = app.bench().publishing();
    chosen.map_or_else(|| has_published(app), Ok)
}

/// Whether any result was ever signed with a key of this home.
pub(crate) fn has_published(app: &App) -> Result<bool, Fault> {
    for key in app.keys().public() {
        if !app.store.summaries_signed_by(&key)?.is_empty() {
            return Ok(true);
        }
    }
    Ok(false)
}

fn standpoint(bench: &Bench, season: &Season<'_>, as_of: Date) -> Standpoint {
    let mut places = bench.places().map(|(name, _)| name.as_str());
    let only = places.next().filter(|_| places.next().is_none());
    let place = season.trial.place.as_deref().or(only).map(str::to_owned);
    let spot = season.trial.arms.iter().find_map(|arm| bench.spot_of(season, arm.number, as_of));
    Standpoint { place, spot }
}

/// What is due, for a terminal.
pub(super) fn due(app: &App, as_of: Date, part: &DuePart) -> Result<Reply, Fault> {
    Ok(Reply::done(Outcome::Due(list(app, as_of, part, Screen::Terminal)?)))
}

/// What is due: what is near, and the rest folded away, or all of it.
pub(crate) fn list(app: &App, as_of: Date, part: &DuePart, screen: Screen) -> Result<DueList, Fault> {
    let agenda = agenda(app, as_of, part)?;
    let tasks: Vec<Due> = agenda.calendar().into_iter().cloned().collect();
    let list = DueList {
        as_of,
        due: tasks_until(&agenda, part.until),
        in_calendar: tasks.len(),
        calendar: Said::Calendar(DueCalendar { stamp: stamp(app), tasks }),
        is_open: part.is_open(),
        shown: Vec::new(),
        more: 0,
        folds: DueFolds::default(),
        next: None,
    };
    Ok(if list.is_open { opened(list, &agenda, part.until) } else { folded(list, &agenda, screen) })
}

fn tasks_until(agenda: &Agenda, until: Option<Date>) -> Vec<DueTask> {
    let tasks = agenda.tasks().into_iter().filter(|(_, _, due)| until.is_none_or(|until| due.day <= until));
    let task = |(trial, state, due): (&TrialDue, State, &Due)| DueTask {
        words: DueTask::said(due.kind, due.of),
        due: due.clone(),
        state,
        place: trial.place.clone(),
        spot: trial.spot.clone(),
    };
    tasks.map(task).collect()
}

fn opened(list: DueList, agenda: &Agenda, until: Option<Date>) -> DueList {
    let states = State::ALL.into_iter();
    let sections = states.map(|state| section(state, &agenda.opened(state, until), agenda, false));
    DueList { shown: sections.flatten().collect(), ..list }
}

fn folded(list: DueList, agenda: &Agenda, screen: Screen) -> DueList {
    let codes = |trial: &TrialDue| trial.trial.clone();
    let asleep = agenda.asleep_by_year().into_iter();
    let folds = DueFolds {
        late: agenda.of(State::Late).map(codes).collect(),
        asleep: asleep.map(|(year, trials)| AsleepOfYear { year, trials }).collect(),
        unpublished: agenda.unpublished().map(codes).collect(),
    };
    let near = agenda.folded(screen.room(&folds));
    let sections = [(State::Now, &near.now), (State::Soon, &near.soon)];
    let shown: Vec<DueSection> =
        sections.into_iter().filter_map(|(state, groups)| section(state, groups, agenda, true)).collect();
    let next = if shown.is_empty() { agenda.next().cloned() } else { None };
    DueList { shown, more: near.more, folds, next, ..list }
}

fn section(state: State, groups: &[Group<'_>], agenda: &Agenda, is_folded: bool) -> Option<DueSection> {
    let line = |(trial, due): &(&TrialDue, &Due)| DueLine {
        due: (*due).clone(),
        in_days: due.day.days_since(agenda.as_of),
        others: if is_folded { trial.others() } else { 0 },
    };
    let group = |group: &Group<'_>| DueGroup {
        place: group.place.map(str::to_owned),
        spot: group.spot.map(str::to_owned),
        lines: group.lines.iter().map(line).collect(),
    };
    (!groups.is_empty()).then(|| DueSection { state, groups: groups.iter().map(group).collect() })
}

fn hemisphere(bench: &Bench, trial: &Trial) -> Hemisphere {
    let named = trial.place.as_deref().and_then(|name| bench.place(name));
    let place = named.or_else(|| bench.places().next().map(|(_, place)| place));
    place.map_or(Hemisphere::North, |place| place.hemisphere)
}

fn published(app: &App, trial: &Trial) -> Result<Published, Fault> {
    let Some(summary) = crate::publish::standing(app, trial)? else {
        return Ok(Published::default());
    };
    let has = |stage: fn(&propagule_protocol::StageCounts) -> bool| {
        summary.arms.iter().any(|arm| stage(&arm.stages))
    };
    Ok(Published {
        series: true,
        lift: has(|stages| stages.lift.is_some()),
        season: has(|stages| stages.season.is_some()),
        spring: has(|stages| stages.spring.is_some()),
        last: has(|stages| stages.last.is_some()),
    })
}

/// `20260612T101500Z`.
fn stamp(app: &App) -> String {
    let now = app.clock().now().to_string();
    let plain: String =
        now.split('.').next().unwrap_or_default().chars().filter(|c| !"-:Z".contains(*c)).collect();
    plain + "Z"
}
