//! The list of trials.

use crate::App;
use propagule_answer::words::kind::KindWords;
use propagule_bench::{Bench, Stage, Trial};
use propagule_files::fault::Fault;

/// A trial in one line of a list.
#[expect(clippy::struct_excessive_bools, reason = "each is a fact of its own, said in the line")]
#[derive(Clone, Debug)]
pub struct TrialLine {
    /// Its code.
    pub code: String,
    /// The plant.
    pub species: String,
    /// Whether it is a lot of one treatment.
    pub is_lot: bool,
    /// Whether nothing is put in yet.
    pub is_planned: bool,
    /// Year in which it was put in.
    pub season: u16,
    /// When it was started, in words.
    pub started_on: String,
    /// How many were started.
    pub started: u32,
    /// How many arms it has.
    pub arms: usize,
    /// How many are alive.
    pub alive: u32,
    /// How many have rooted; `None` where nobody looked.
    pub rooted: Option<u32>,
    /// The last stage that was counted.
    pub stage: Option<Stage>,
    /// The words of its kind.
    pub said: KindWords,
    /// The last revision that was published.
    pub published: Option<u8>,
    /// It stays at home.
    pub is_private: bool,
    /// Nothing is due or counted there any more.
    pub is_closed: bool,
}

/// A part of the list of trials.
#[derive(Clone, Debug)]
pub struct TrialLines {
    pub lines: Vec<TrialLine>,
    pub total: usize,
}

/// Trials, the latest season first.
pub fn trials(app: &App, skip: usize, most: usize) -> Result<TrialLines, Fault> {
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
pub fn has_trials(app: &App) -> bool {
    app.bench().trials().next().is_some()
}
