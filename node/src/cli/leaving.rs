//! `propagule sell`, `give`, `plant-out`: what left for good.

use clap::Args;

use super::day::{AnswerArgs, EntryArgs};
use super::{Context, ask};
use propagule_app::{BenchRequest, Request, UnitsOf};
use propagule_bench::typed::place;
use propagule_bench::{Departure, TrialUnits};
use propagule_files::fault::Fault;

#[derive(Debug, Args)]
pub(crate) struct LeavingArgs {
    trial: String,
    #[arg(value_name = "WHERE=N")]
    left: String,
    #[arg(long)]
    unfinished: bool,
    #[command(flatten)]
    answers: AnswerArgs,
    #[command(flatten)]
    entry: EntryArgs,
}

impl LeavingArgs {
    /// What is asked for where the places of the trial are known.
    pub(super) fn request(
        self,
        context: &Context,
        how: Departure,
        units: &TrialUnits,
    ) -> Result<BenchRequest, Fault> {
        let common = self.answers.of(self.entry.common(context)?);
        let (place, count) = match self.left.rsplit_once('=') {
            Some((place, count)) => (Some(place.trim()), count.trim()),
            None => (None, self.left.trim()),
        };
        let pieces = count.parse().map_err(|_| {
            Fault::usage("leaving-not-a-number").with("text", &self.left).with("trial", &self.trial)
        })?;
        let unit = place::read(place, units).map_err(|fault| match place {
            None => Fault::user("leaving-without-place")
                .with("trial", &self.trial)
                .with("left", &self.left)
                .with("command", command(how))
                .with("places", units.sheet.join(", "))
                .with("first", units.sheet.first().map_or("P1", String::as_str)),
            Some(_) => fault.with("command", command(how)),
        })?;
        Ok(BenchRequest::Left { trial: self.trial, unit, pieces, how, at_grade: !self.unfinished, common })
    }
}

/// The command by which plants leave so.
const fn command(how: Departure) -> &'static str {
    match how {
        Departure::Sold => "sell",
        Departure::Given => "give",
        Departure::PlantedOut => "plant-out",
    }
}

pub(super) async fn cmd_leaving(context: &Context, args: LeavingArgs, how: Departure) -> Result<(), Fault> {
    let units = ask::units(context, UnitsOf::Trial(args.trial.clone())).await?.units;
    let request = args.request(context, how, &units)?;
    ask::show(context, Request::Bench(Box::new(request))).await
}
