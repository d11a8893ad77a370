//! The list of trials.

use crate::answer::words::kind::KindWords;
use crate::app::App;
use propagule_bench::{Bench, Stage, Trial};
use propagule_files::fault::Fault;

/// A trial in one line of a list.
#[expect(clippy::struct_excessive_bools, reason = "each is a fact of its own, said in the line")]
#[derive(Clone, Debug)]
pub(crate) struct TrialLine {
    pub(crate) code: String,
    pub(crate) species: String,
    pub(crate) is_lot: bool,
    pub(crate) is_planned: bool,
    /// Year in which it was put in.
    pub(crate) season: u16,
    pub(crate) started_on: String,
    pub(crate) started: u32,
    pub(crate) arms: usize,
    pub(crate) alive: u32,
    pub(crate) rooted: Option<u32>,
    pub(crate) stage: Option<Stage>,
    /// The words of its kind.
    pub(crate) said: KindWords,
    /// The last revision that was published.
    pub(crate) published: Option<u8>,
    /// It stays at home.
    pub(crate) is_private: bool,
    /// Nothing is due or counted there any more.
    pub(crate) is_closed: bool,
}

/// A part of the list of trials.
#[derive(Clone, Debug)]
pub(crate) struct TrialLines {
    pub(crate) lines: Vec<TrialLine>,
    pub(crate) total: usize,
}

/// Trials, the latest season first.
pub(crate) fn trials(app: &App, skip: usize, most: usize) -> Result<TrialLines, Fault> {
    let bench = app.bench();
    let mut all: Vec<&Trial> = bench.trials().collect();
    all.sort_by_key(|trial| (std::cmp::Reverse(trial.started_on.middle().year()), trial.is_lot()));
    let lines = all.iter().skip(skip).take(most).map(|trial| line(app, &bench, trial));
    Ok(TrialLines { lines: lines.collect::<Result<_, _>>()?, total: all.len() })
}

fn line(app: &App, bench: &Bench, trial: &Trial) -> Result<TrialLine, Fault> {
    let season = bench.season(trial);
    let now = season.all_now();
    Ok(TrialLine {
        code: trial.code.clone(),
        species: trial.species.clone(),
        is_lot: trial.is_lot(),
        is_planned: trial.is_planned,
        season: trial.started_on.middle().year(),
        started_on: trial.started_on.to_string(),
        started: trial.started(),
        arms: trial.arms.len(),
        alive: now.alive(),
        rooted: now.rooted(),
        stage: season.as_it_stands().last_stage(),
        said: KindWords::of_trial(trial),
        published: app.published(trial)?,
        is_private: trial.is_private,
        is_closed: season.closed().is_some(),
    })
}

/// Whether anything is on the bench.
pub(crate) fn has_trials(app: &App) -> bool {
    app.bench().trials().next().is_some()
}
