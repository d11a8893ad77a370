//! The places of a trial, as whoever reads counts of it has to know them.

use super::{fixing, laying_out};
use crate::bench::UnitsOf;
use crate::outcome::Outcome;
use crate::outcome::units::UnitsToCount;
use crate::{App, Reply};
use propagule_bench::{Trial, TrialUnits, What};
use propagule_files::fault::Fault;

/// The places of a trial; of an entry also its number and the stage that it counts.
pub(super) fn show(app: &App, of: UnitsOf) -> Result<Reply, Fault> {
    let bench = app.bench();
    let (trial, entry) = match of {
        UnitsOf::Trial(code) => (crate::trial::find(bench.trial(&code), &code, bench.trials())?, None),
        UnitsOf::Entry { trial: code, entry } => {
            let trial = crate::trial::find(bench.trial(&code), &code, bench.trials())?;
            let number = entry.map_or_else(|| fixing::last_of_trial(&bench, trial), Ok)?;
            (trial, Some(number))
        }
        UnitsOf::LastEntry => {
            let (trial, number) = fixing::last_of_home(&bench)?;
            (trial, Some(number))
        }
    };
    let stage = entry.and_then(|number| {
        let (_, entry) = bench.entries().find(|(found, _)| *found == number)?;
        match entry.what {
            What::Counted { stage, .. } => stage,
            _ => None,
        }
    });
    Ok(Reply::done(Outcome::Units(UnitsToCount { units: of_trial(trial), entry, stage })))
}

/// The places of a trial.
pub(crate) fn of_trial(trial: &Trial) -> TrialUnits {
    TrialUnits::of(trial, laying_out::sheet_order(trial))
}
