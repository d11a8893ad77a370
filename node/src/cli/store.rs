//! `propagule store`

use clap::{Args, Subcommand};

use super::{Context, ask};
use propagule_app::outcome::Outcome;
use propagule_app::outcome::store::StoreOutcome;
use propagule_app::{Request, StoreWork};
use propagule_files::fault::Fault;

/// Look after the files of your home: verify, repair, compact
///
/// Examples:
///   propagule store verify
///   propagule store compact
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct StoreArgs {
    #[command(subcommand)]
    command: StoreCommand,
}

#[derive(Debug, Subcommand)]
enum StoreCommand {
    /// Read everything, judge every record again, and name all damage; changes nothing
    ///
    /// Exits with 1 when something is damaged or lost.
    ///
    /// Examples:
    ///   propagule store verify
    ///   propagule store verify --json
    #[command(verbatim_doc_comment)]
    Verify,
    /// Salvage everything that is whole, keep damaged files aside, and fetch from peers what is lost
    ///
    /// Examples:
    ///   propagule store repair
    ///   propagule store repair --json
    #[command(verbatim_doc_comment)]
    Repair,
    /// Leave out of the journal what is not needed any more; every record of the set stays
    ///
    /// Examples:
    ///   propagule store compact
    ///   propagule store compact --json
    #[command(verbatim_doc_comment)]
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
