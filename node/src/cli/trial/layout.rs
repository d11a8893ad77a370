//! `propagule trial layout`: where pots stand.

use clap::Args;

use propagule_app::BenchRequest;

#[derive(Debug, Args)]
pub(crate) struct LayoutArgs {
    trial: String,
    #[arg(long)]
    columns: Option<usize>,
    #[arg(long)]
    seed: Option<u64>,
}

pub(super) fn layout(args: LayoutArgs) -> BenchRequest {
    BenchRequest::Layout { trial: args.trial, columns: args.columns, seed: args.seed }
}
