//! What a command line asks of an open home: the same parser, with the home in the same process.

use std::sync::Arc;

use super::{Command, Context};
use crate::ui::Ui;
use propagule_app::outcome::Outcome;
use propagule_app::outcome::units::UnitsToCount;
use propagule_app::{App, BenchRequest, Reply, Request, UnitsOf, handle};
use propagule_bench::{Departure, Stage};
use propagule_files::fault::Fault;

/// Reads a command that works at the bench.
pub(crate) async fn requested(app: &Arc<App>, words: &[String]) -> Result<BenchRequest, Fault> {
    let cli = super::read(words).unwrap_or_else(|e| panic!("{words:?}: {e}"));
    let context = Context { ui: Ui { json: false }, clock: app.clock(), home: None, words: String::new() };
    // All of these name the trial first.
    let of_trial = UnitsOf::Trial(words[2].clone());
    match cli.command.expect("a command") {
        Command::Check(args) => args.request(&context, &units(app, of_trial).await?.units),
        Command::Lift(args) => args.request(&context, Stage::Lift, &units(app, of_trial).await?.units),
        Command::Final(args) => args.request(&context, Stage::Final, &units(app, of_trial).await?.units),
        Command::Move(args) => args.request(&context, &units(app, of_trial).await?.units),
        Command::Sell(args) => args.request(&context, Departure::Sold, &units(app, of_trial).await?.units),
        Command::Give(args) => args.request(&context, Departure::Given, &units(app, of_trial).await?.units),
        Command::PlantOut(args) => {
            args.request(&context, Departure::PlantedOut, &units(app, of_trial).await?.units)
        }
        Command::Fix(args) => {
            let (fixed, of) = args.read(&context)?;
            fixed.request(units(app, of).await?)
        }
        Command::Note(args) => args.request(&context),
        other => panic!("{other:?} is not read here"),
    }
}

async fn units(app: &Arc<App>, of: UnitsOf) -> Result<UnitsToCount, Fault> {
    let request = Request::Bench(Box::new(BenchRequest::Units { of }));
    let Reply::Done(outcome) = handle(Arc::clone(app), request).await? else { panic!("another answer") };
    let Outcome::Units(found) = *outcome else { panic!("another outcome") };
    Ok(found)
}
