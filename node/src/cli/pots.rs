//! `propagule pots`

use clap::Args;

use super::day::ReadingArgs;
use super::{Context, ask};
use propagule_app::{BenchRequest, Request};
use propagule_files::fault::Fault;

/// Show what each pot of a trial holds and when it was last looked at, in the order in which counts are typed
///
/// Examples:
///   propagule pots M1
///   propagule pots M1 --on 2026-08-03
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct PotsArgs {
    /// Code of the trial
    trial: String,
    /// As they stood after that day [default: now]
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
