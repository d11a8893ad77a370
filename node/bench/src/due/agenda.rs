//! What is due at a home on a day, and in which order; the command, the page and the calendar decide nothing of it.

use std::collections::BTreeMap;

use propagule_protocol::Date;
use propagule_protocol::place::Hemisphere;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::asleep::{is_asleep, latest_suckers};
use super::{Due, DueKind};
use crate::season::Season;

/// Days after its own in which a task is still due now.
const NOW_DAYS: i32 = 14;
/// Days ahead in which a task is due soon.
pub(super) const SOON_DAYS: i32 = 7;
/// Days after which a task is not late any more: nobody will do it.
pub(super) const LATE_DAYS: i32 = 56;
/// Days for which publishing is asked for: from two weeks to 90 days after the count.
const PUBLISH_ASKED_DAYS: i32 = 76;
/// Days ahead that a calendar holds.
const CALENDAR_DAYS: i32 = 90;

/// The state of a task, or of a trial by its most pressing task; the most pressing first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum State {
    /// Due today, or in the last two weeks.
    Now,
    /// Due within a week.
    Soon,
    /// Overdue by more than two weeks, and not forgotten.
    Late,
    /// Overdue by more than eight weeks, or untouched since the last season.
    Asleep,
    /// Due later.
    Later,
}

impl State {
    /// All states in the order in which they are told.
    pub const ALL: [Self; 5] = [Self::Now, Self::Soon, Self::Late, Self::Asleep, Self::Later];

    /// Stable name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Now => "now",
            Self::Soon => "soon",
            Self::Late => "late",
            Self::Asleep => "asleep",
            Self::Later => "later",
        }
    }
}

/// What is due for one trial, the most pressing first.
#[derive(Clone, Debug, PartialEq)]
pub struct TrialDue {
    /// Its code.
    pub trial: String,
    /// Its place, where one is known.
    pub place: Option<String>,
    /// The bench that it stands on, where one is known.
    pub spot: Option<String>,
    /// Year in which it was started.
    pub year: u16,
    /// That of its most pressing task.
    pub state: State,
    /// Each task with its state; at least one.
    pub tasks: Vec<(State, Due)>,
    /// Its results have waited so long that publishing is asked for no more.
    pub is_unpublished: bool,
}

/// Where a trial stands.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Standpoint {
    /// Its place.
    pub place: Option<String>,
    /// Its bench.
    pub spot: Option<String>,
}

impl TrialDue {
    /// The tasks of a trial in their order; `None` where there are none.
    pub fn of(
        season: &Season<'_>,
        tasks: Vec<Due>,
        at: Standpoint,
        as_of: Date,
        hemisphere: Hemisphere,
    ) -> Option<Self> {
        let is_asleep = is_asleep(season, &tasks, as_of, hemisphere);
        let tasks = latest_suckers(tasks, as_of).into_iter();
        let mut tasks: Vec<(State, Due)> = tasks
            .map(|due| match due.kind {
                DueKind::PublishLift | DueKind::PublishRevision => (of_publishing(&due, as_of), due),
                _ if is_asleep => (State::Asleep, due),
                _ => (of_task(&due, as_of), due),
            })
            .collect();
        let is_unpublished =
            tasks.iter().any(|(state, due)| *state == State::Late && due.kind.is_publishing());
        tasks.sort_by_key(|(state, due)| {
            let is_folded = *state == State::Late && due.kind.is_publishing();
            (is_folded, *state, due.kind.weight(), distance(due.day, as_of), due.day)
        });
        let first = tasks.first()?;
        // Results alone that nobody asks for any more make no trial late.
        let is_folded = first.0 == State::Late && first.1.kind.is_publishing();
        let state = if is_folded { State::Later } else { first.0 };
        let Standpoint { place, spot } = at;
        let (trial, year) = (season.trial.code.clone(), season.trial.started_on.middle().year());
        Some(Self { trial, place, spot, year, state, tasks, is_unpublished })
    }

    fn each(&self) -> impl Iterator<Item = (&Self, State, &Due)> {
        self.tasks.iter().map(move |(state, due)| (self, *state, due))
    }

    /// Its most pressing task.
    pub fn first(&self) -> &Due {
        &self.tasks[0].1
    }

    /// How many other tasks of it wait already, or will within a week.
    pub fn others(&self) -> usize {
        let others = self.tasks.iter().skip(1);
        others
            .filter(|(state, due)| {
                *state != State::Later && !(*state == State::Late && due.kind.is_publishing())
            })
            .count()
    }
}

impl DueKind {
    /// Whether it is about telling others.
    pub fn is_publishing(self) -> bool {
        matches!(self, Self::PublishLift | Self::PublishRevision)
    }

    /// Of tasks in one state the one that cannot wait comes first; a count is a look as well.
    fn weight(self) -> u8 {
        match self {
            Self::Lift | Self::Spring | Self::Stick => 0,
            Self::WrapCut => 1,
            Self::Suckers => 2,
            Self::Check => 3,
            Self::PublishLift | Self::PublishRevision => 4,
        }
    }
}

/// How far a day is away; of two as far, the one that has been comes first.
fn distance(day: Date, as_of: Date) -> (i32, bool) {
    (day.days_since(as_of).abs(), day > as_of)
}

fn of_task(due: &Due, as_of: Date) -> State {
    match as_of.days_since(due.day) {
        0..=NOW_DAYS => State::Now,
        late if late > NOW_DAYS => State::Late,
        late if late >= -SOON_DAYS => State::Soon,
        _ => State::Later,
    }
}

fn of_publishing(due: &Due, as_of: Date) -> State {
    match as_of.days_since(due.day) {
        0..=PUBLISH_ASKED_DAYS => State::Now,
        late if late > 0 => State::Late,
        _ => State::Later,
    }
}

/// All that is due at a home, as seen from a day.
#[derive(Clone, Debug, PartialEq)]
pub struct Agenda {
    /// The day.
    pub as_of: Date,
    /// Trials, the most pressing first, and of one state the nearest.
    pub trials: Vec<TrialDue>,
}

/// Lines of one state at one place and bench.
#[derive(Clone, Debug, PartialEq)]
pub struct Group<'a> {
    /// The place; none where the home has but one.
    pub place: Option<&'a str>,
    /// The bench.
    pub spot: Option<&'a str>,
    /// A trial and the task to show of it, the nearest first.
    pub lines: Vec<(&'a TrialDue, &'a Due)>,
}

impl Group<'_> {
    /// Where it is, in words; empty where neither place nor bench is told apart.
    pub fn heading(&self) -> String {
        match (self.place, self.spot) {
            (Some(place), Some(spot)) => format!("{place}, {spot}"),
            (Some(place), None) => place.to_owned(),
            (None, Some(spot)) => spot.to_owned(),
            (None, None) => String::new(),
        }
    }
}

/// What is shown before the folds are opened.
#[derive(Clone, Debug, PartialEq)]
pub struct Folded<'a> {
    /// What is due now.
    pub now: Vec<Group<'a>>,
    /// What is due within a week.
    pub soon: Vec<Group<'a>>,
    /// Trials of these two states that had no room.
    pub more: usize,
}

impl Agenda {
    /// Puts trials into their order.
    pub fn new(as_of: Date, mut trials: Vec<TrialDue>) -> Self {
        trials.sort_by_cached_key(|trial| {
            let first = trial.first();
            (trial.state, distance(first.day, as_of), trial.trial.clone())
        });
        Self { as_of, trials }
    }

    /// Trials of one state.
    pub fn of(&self, state: State) -> impl Iterator<Item = &TrialDue> {
        self.trials.iter().filter(move |trial| trial.state == state)
    }

    /// What comes next, where nothing is near.
    pub fn next(&self) -> Option<&Due> {
        let later = self.of(State::Later).flat_map(|trial| &trial.tasks);
        later.map(|(_, due)| due).filter(|due| due.day > self.as_of).min_by_key(|due| due.day)
    }

    /// How many sleep, by the year in which they were started, the newest first.
    pub fn asleep_by_year(&self) -> Vec<(u16, usize)> {
        let mut years = BTreeMap::new();
        for trial in self.of(State::Asleep) {
            *years.entry(trial.year).or_insert(0) += 1;
        }
        years.into_iter().rev().collect()
    }

    /// Trials whose results were never published, and are not asked for any more.
    pub fn unpublished(&self) -> impl Iterator<Item = &TrialDue> {
        self.trials.iter().filter(|trial| trial.is_unpublished)
    }

    /// Every task with its state, by day.
    pub fn tasks(&self) -> Vec<(&TrialDue, State, &Due)> {
        let mut all: Vec<_> = self.trials.iter().flat_map(TrialDue::each).collect();
        all.sort_by(|one, other| one.2.cmp(other.2));
        all
    }

    /// What belongs into a calendar: now, soon, and the coming 90 days.
    pub fn calendar(&self) -> Vec<&Due> {
        let is_ahead = |day: Date| (0..=CALENDAR_DAYS).contains(&day.days_since(self.as_of));
        let belongs = |state: State, due: &Due| match state {
            State::Now | State::Soon => true,
            State::Later => is_ahead(due.day),
            State::Late | State::Asleep => false,
        };
        self.tasks()
            .into_iter()
            .filter(|(_, state, due)| belongs(*state, due))
            .map(|(_, _, due)| due)
            .collect()
    }

    /// What is due now and soon, one line a trial, in at most `room` lines with their headings.
    pub fn folded(&self, room: usize) -> Folded<'_> {
        let line = |trial| (trial, TrialDue::first(trial));
        let now: Vec<_> = self.of(State::Now).map(line).collect();
        let soon: Vec<_> = self.of(State::Soon).map(line).collect();
        let all = now.len() + soon.len();
        let (now, used) = fitting(self.grouped(now), room);
        let (soon, _) = fitting(self.grouped(soon), room - used);
        let shown = |groups: &[Group<'_>]| groups.iter().map(|group| group.lines.len()).sum::<usize>();
        let more = all - shown(&now) - shown(&soon);
        Folded { now, soon, more }
    }

    /// Every task of one state up to and with a day, grouped.
    pub fn opened(&self, state: State, until: Option<Date>) -> Vec<Group<'_>> {
        let mut tasks = self.tasks();
        tasks.retain(|(_, found, due)| *found == state && until.is_none_or(|until| due.day <= until));
        tasks.sort_by_key(|(trial, _, due)| (distance(due.day, self.as_of), &trial.trial));
        self.grouped(tasks.into_iter().map(|(trial, _, due)| (trial, due)).collect())
    }

    /// Lines by place and then by bench, both by their nearest line.
    fn grouped<'a>(&'a self, lines: Vec<(&'a TrialDue, &'a Due)>) -> Vec<Group<'a>> {
        let mut places: Vec<_> = self.trials.iter().map(|trial| trial.place.as_deref()).collect();
        places.sort_unstable();
        places.dedup();
        let place_of = |trial: &'a TrialDue| trial.place.as_deref().filter(|_| places.len() > 1);
        let mut by_place: Vec<(Option<&str>, Vec<Group<'_>>)> = Vec::new();
        for (trial, due) in lines {
            let (place, spot) = (place_of(trial), trial.spot.as_deref());
            let at = by_place.iter().position(|(other, _)| *other == place).unwrap_or_else(|| {
                by_place.push((place, Vec::new()));
                by_place.len() - 1
            });
            let groups = &mut by_place[at].1;
            match groups.iter_mut().find(|group| group.spot == spot) {
                Some(group) => group.lines.push((trial, due)),
                None => groups.push(Group { place, spot, lines: vec![(trial, due)] }),
            }
        }
        by_place.into_iter().flat_map(|(_, groups)| groups).collect()
    }
}

/// The first groups that fit into `room` lines with a line above them all and a heading each, and the lines they take.
fn fitting(groups: Vec<Group<'_>>, room: usize) -> (Vec<Group<'_>>, usize) {
    let mut used = 1;
    let mut shown = Vec::new();
    for mut group in groups {
        let heading = usize::from(!group.heading().is_empty());
        group.lines.truncate(room.saturating_sub(used + heading));
        if group.lines.is_empty() {
            break;
        }
        used += heading + group.lines.len();
        shown.push(group);
    }
    let used = if shown.is_empty() { 0 } else { used };
    (shown, used)
}

#[cfg(test)]
#[path = "agenda_tests.rs"]
mod tests;
