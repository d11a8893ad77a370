//! `propagule move`

use clap::Args;

use super::day::{AnswerArgs, EntryArgs};
use super::{Context, ask};
use crate::grammar;
use propagule_app::{BenchRequest, Request, UnitsOf};
use propagule_bench::TrialUnits;
use propagule_bench::doing::Doing;
use propagule_bench::typed::place;
use propagule_files::fault::Fault;

#[derive(Debug, Args)]
pub(crate) struct MoveArgs {
    trial: String,
    #[arg(value_name = "TREATMENT")]
    treatments: Vec<String>,
    #[arg(long)]
    bench: String,
    #[arg(short, long, value_name = "DETAILS", default_value = "", hide_default_value = true)]
    method: String,
    #[command(flatten)]
    answers: AnswerArgs,
    #[command(flatten)]
    entry: EntryArgs,
}

impl MoveArgs {
    /// What is asked for where the places of the trial are known.
    pub(super) fn request(self, context: &Context, units: &TrialUnits) -> Result<BenchRequest, Fault> {
        let common = self.answers.of(self.entry.common(context)?);
        let (facets, common) = grammar::arm::moved(context.hearing(Doing::Moving), &self.method, common)
            .map_err(|fault| fault.with("command", "move"))?;
        Ok(BenchRequest::Move {
            trial: self.trial,
            arms: place::arms(&self.treatments, units)?,
            to: self.bench,
            facets,
            common,
        })
    }
}

pub(super) async fn cmd_move(context: &Context, args: MoveArgs) -> Result<(), Fault> {
    let units = ask::units(context, UnitsOf::Trial(args.trial.clone())).await?.units;
    let request = args.request(context, &units)?;
    ask::show(context, Request::Bench(Box::new(request))).await
}
