//! `propagule store`

use clap::{Args, Subcommand};

use super::{Context, ask};
use propagule_app::outcome::Outcome;
use propagule_app::outcome::store::StoreOutcome;
use propagule_app::{Request, StoreWork};
use propagule_files::fault::Fault;

#[derive(Debug, Args)]
pub(crate) struct StoreArgs {
    #[command(subcommand)]
    command: StoreCommand,
}

#[derive(Debug, Subcommand)]
enum StoreCommand {
    Verify,
    Repair,
    Compact,
}

pub(super) async fn cmd_store(context: &Context, args: &StoreArgs) -> Result<(), Fault> {
    let work = match args.command {
        StoreCommand::Verify => StoreWork::Verify,
        StoreCommand::Repair => StoreWork::Repair,
        StoreCommand::Compact => StoreWork::Compact,
    };
    let outcome = ask::done(context, Request::Store(work)).await?;
    ask::show_outcome(context, &outcome)?;
    match outcome {
        Outcome::Store(StoreOutcome::Verify(found)) if !found.is_sound => Err(Fault::user("files-damaged")),
        Outcome::Store(StoreOutcome::Verify(found)) if !found.is_complete => Err(Fault::user("records-lost")),
        _ => Ok(()),
    }
}
