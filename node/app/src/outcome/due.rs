//! What is due.

use propagule_bench::due::{Due, DueKind, State};
use propagule_bench::kind::Kind;
use propagule_protocol::Date;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::said::Said;

/// What is due, as seen from a day.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct DueList {
    /// The day.
    pub as_of: Date,
    /// Every task, or those until the day that was asked for, by day.
    pub due: Vec<DueTask>,
    /// A calendar file: what is due now, and in the coming 90 days.
    pub calendar: Said,
    /// How many tasks the calendar holds.
    pub in_calendar: usize,
    /// Whether nothing is folded away.
    pub is_open: bool,
    /// What is shown, state by state; folded, one task a trial.
    pub shown: Vec<DueSection>,
    /// Trials that are near and had no room.
    pub more: usize,
    /// What is folded away; nothing where all is shown.
    pub folds: DueFolds,
    /// What comes next, where nothing is near and the rest is folded away.
    pub next: Option<Due>,
}

/// Something to do.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct DueTask {
    /// What, when, and for which trial.
    #[serde(flatten)]
    pub due: Due,
    /// The same in words.
    pub words: Said,
    /// How pressing it is.
    pub state: State,
    /// Place of the trial, where one is known.
    pub place: Option<String>,
    /// The bench that it stands on, where one is known.
    pub spot: Option<String>,
}

/// Tasks of one state.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct DueSection {
    /// The state.
    pub state: State,
    /// Its tasks, by where they are done.
    pub groups: Vec<DueGroup>,
}

/// Tasks of one state at one place and bench.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct DueGroup {
    /// The place; none where the home has but one.
    pub place: Option<String>,
    /// The bench.
    pub spot: Option<String>,
    /// Its tasks, the nearest first.
    pub lines: Vec<DueLine>,
}

/// A task as it is shown.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct DueLine {
    /// What, when, and for which trial.
    #[serde(flatten)]
    pub due: Due,
    /// Days until then; below 0 it is late.
    pub in_days: i32,
    /// Other tasks of the trial that wait and are not shown.
    pub others: usize,
}

/// What is folded away.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct DueFolds {
    /// Trials that are late, the nearest first.
    pub late: Vec<String>,
    /// Trials that sleep, by the year in which they were started, the newest first.
    pub asleep: Vec<AsleepOfYear>,
    /// Trials whose results were never published, and are not asked for any more.
    pub unpublished: Vec<String>,
}

/// Trials of one year that sleep.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct AsleepOfYear {
    /// Year in which they were started.
    pub year: u16,
    /// How many.
    pub trials: usize,
}

/// A calendar file, of which the words are still to be said.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct DueCalendar {
    /// When it was made: `20260612T101500Z`.
    pub stamp: String,
    /// What it holds, by day.
    pub tasks: Vec<Due>,
}

impl DueTask {
    /// The words of a task.
    pub fn said(kind: DueKind, of: Kind) -> Said {
        Said::Task { task: kind, of }
    }
}
