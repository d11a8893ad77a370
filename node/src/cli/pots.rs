//! `propagule trial pots`

use clap::Args;

use super::day::ReadingArgs;
use super::{Context, ask};
use propagule_app::{BenchRequest, Request};
use propagule_files::fault::Fault;

#[derive(Debug, Args)]
pub(crate) struct PotsArgs {
    trial: String,
    #[arg(long, value_name = "DAY")]
    on: Option<String>,
    #[command(flatten)]
    reading: ReadingArgs,
}

pub(super) async fn cmd_pots(context: &Context, args: PotsArgs) -> Result<(), Fault> {
    let on = args.on.as_deref().map(|text| args.reading.day(context, "--on", text)).transpose()?;
    let request = BenchRequest::Pots { trial: args.trial, on };
    ask::show(context, Request::Bench(Box::new(request))).await
}
