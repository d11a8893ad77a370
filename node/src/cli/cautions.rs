//! `propagule cautions`

use clap::{Args, Subcommand};

use super::{Context, ask};
use propagule_app::{BenchRequest, Request};
use propagule_files::fault::Fault;

#[derive(Debug, Args)]
pub(crate) struct CautionsArgs {
    #[command(subcommand)]
    command: Option<CautionsCommand>,
}

#[derive(Debug, Subcommand)]
enum CautionsCommand {
    Hide { name: String },
}

pub(super) async fn cmd_cautions(context: &Context, args: CautionsArgs) -> Result<(), Fault> {
    let request = match args.command {
        Some(CautionsCommand::Hide { name }) => BenchRequest::Dismiss { caution: name },
        None => BenchRequest::Cautions,
    };
    ask::show(context, Request::Bench(Box::new(request))).await
}
