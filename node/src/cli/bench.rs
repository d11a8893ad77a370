//! `propagule bench`: where trials stand.

use clap::Args;

use super::day::EntryArgs;
use super::{Context, ask};
use crate::grammar;
use propagule_app::{BenchRequest, Request};
use propagule_bench::doing::Doing;
use propagule_bench::spot::OF_SPOT;
use propagule_files::fault::Fault;

#[derive(Debug, Args)]
pub(crate) struct BenchArgs {
    name: Option<String>,
    #[arg(long, value_name = "DETAILS", requires = "name")]
    about: Option<String>,
    #[arg(
        long,
        value_name = "CODE,CODE…",
        value_delimiter = ',',
        requires = "name",
        conflicts_with = "about"
    )]
    trials: Vec<String>,
    #[command(flatten)]
    entry: EntryArgs,
}

pub(super) async fn cmd_bench(context: &Context, args: BenchArgs) -> Result<(), Fault> {
    ask::show(context, Request::Bench(Box::new(bench(context, args)?))).await
}

/// What is asked for.
pub(super) fn bench(context: &Context, args: BenchArgs) -> Result<BenchRequest, Fault> {
    Ok(match (args.name, args.about) {
        (Some(spot), None) if !args.trials.is_empty() => {
            BenchRequest::Stand { spot, lots: args.trials, common: args.entry.common(context)? }
        }
        (Some(name), Some(about)) => BenchRequest::SpotSet {
            name,
            facets: grammar::arm::facets(context.hearing(Doing::Spot), &about, &OF_SPOT)?,
        },
        (name, _) => BenchRequest::SpotShow { name },
    })
}
