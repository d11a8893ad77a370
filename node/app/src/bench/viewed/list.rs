//! The list of trials.

use std::collections::BTreeMap;

use crate::outcome::Outcome;
use crate::outcome::said::Said;
use crate::outcome::trials::{TrialLine, TrialList};
use crate::{App, Reply};
use propagule_bench::kind::Kind;
use propagule_bench::{Bench, Row, Trial};
use propagule_files::fault::Fault;

/// A part of the list of trials.
#[derive(Clone, Debug)]
pub struct TrialLines {
    pub lines: Vec<TrialLine>,
    pub total: usize,
}

/// Trials in which all of these words stand, in the order in which they were set up.
pub fn list(app: &App, words: &str) -> Result<Reply, Fault> {
    let bench = app.bench();
    let looked_for = words.trim().to_owned();
    let words = Words::read(&looked_for);
    let found = bench.trials().filter(|trial| words.stand_in(trial));
    let trials = found.map(|trial| line(app, &bench, trial)).collect::<Result<_, _>>()?;
    Ok(Reply::done(Outcome::Trials(TrialList { looked_for, trials })))
}

/// Trials in which all of these words stand, the latest season first; without words all of them.
pub fn trials(app: &App, words: &str, skip: usize, most: usize) -> Result<TrialLines, Fault> {
    let bench = app.bench();
    let words = Words::read(words);
    let mut all: Vec<&Trial> = bench.trials().filter(|trial| words.stand_in(trial)).collect();
    all.sort_by_key(|trial| (std::cmp::Reverse(trial.started_on.middle().year()), trial.is_lot()));
    let lines = all.iter().skip(skip).take(most).map(|trial| line(app, &bench, trial));
    Ok(TrialLines { lines: lines.collect::<Result<_, _>>()?, total: all.len() })
}

/// Words by which a trial is looked for, in small letters.
struct Words(Vec<String>);

impl Words {
    fn read(text: &str) -> Self {
        Self(text.split_whitespace().map(str::to_lowercase).collect())
    }

    /// Whether each of them stands in the code, the plant, a treatment or what was noted of a trial.
    fn stand_in(&self, trial: &Trial) -> bool {
        if self.0.is_empty() {
            return true;
        }
        let of_arms = trial.arms.iter().flat_map(|arm| {
            let own = [&arm.stock_plant, &arm.operator, &arm.unlisted].into_iter().flatten();
            own.chain([&arm.label]).chain(arm.facets.values())
        });
        let noted = [&trial.note, &trial.question, &trial.place].into_iter().flatten();
        let said: Vec<String> = [&trial.code, &trial.species]
            .into_iter()
            .chain(noted)
            .chain(of_arms)
            .map(|text| text.to_lowercase())
            .collect();
        self.0.iter().all(|word| said.iter().any(|text| text.contains(word)))
    }
}

fn line(app: &App, bench: &Bench, trial: &Trial) -> Result<TrialLine, Fault> {
    let season = bench.season(trial);
    let now = season.all_now();
    let stage = season.as_it_stands().last_stage();
    let checked_on = season.last_check();
    Ok(TrialLine {
        code: trial.code.clone(),
        species: trial.species.clone(),
        kind: trial.kind(),
        is_lot: trial.is_lot(),
        is_planned: trial.is_planned,
        season: trial.started_on.middle().year(),
        started_on: trial.started_on,
        started: trial.started(),
        arms: trial.arms.len(),
        alive: now.alive(),
        rooted: now.rooted(),
        stage,
        reached: Said::StageReached { stage, is_planned: trial.is_planned, checked_on },
        checked_on,
        published: app.published(trial)?,
        is_private: trial.is_private,
        is_closed: season.closed().is_some(),
    })
}

/// A trial as a list of tasks shows it.
#[derive(Clone, Debug)]
pub struct LotLine {
    /// Its plant.
    pub species: String,
    /// Its kind, which decides the words.
    pub kind: Kind,
    /// How many were started, or are planned.
    pub started: u32,
    /// Its pieces as they stand; none while it is planned.
    pub row: Option<Row>,
}

/// Trials by their codes; those that are not there are left out.
pub fn lots(app: &App, codes: &[String]) -> BTreeMap<String, LotLine> {
    let bench = app.bench();
    let line = |code: &String| {
        let trial = bench.trial(code)?;
        let row = (!trial.is_planned).then(|| bench.season(trial).all_now());
        Some((
            code.clone(),
            LotLine { species: trial.species.clone(), kind: trial.kind(), started: trial.started(), row },
        ))
    };
    codes.iter().filter_map(line).collect()
}

/// Whether anything is on the bench.
pub fn has_trials(app: &App) -> bool {
    app.bench().trials().next().is_some()
}
