//! `propagule trial`

use std::path::PathBuf;

use clap::{Args, Subcommand};

use super::input::read_table;
use super::{Context, ask};
use crate::app::Request;
use crate::error::Failure;

/// Trials of your bench: bring them in from a table, list them, show one
#[derive(Debug, Args)]
pub(crate) struct TrialArgs {
    #[command(subcommand)]
    command: TrialCommand,
}

#[derive(Debug, Subcommand)]
enum TrialCommand {
    /// Read trials from a CSV table, one row an arm; reading it again adds what is new
    ///
    /// Columns: trial, species, started, `started_on`; arm and the facets (kind, wood, form, medium,
    /// auxin, humidity, …); counts such as `lift_on`, `lift_alive`, `lift_rooted`, `lift_dead`, `lift_lost`, and the
    /// same with spring_ and final_.
    ///
    /// Examples:
    ///   propagule trial import season.csv --dry-run
    ///   propagule trial import season.csv
    #[command(verbatim_doc_comment)]
    Import {
        /// The table
        file: PathBuf,
        /// Say what would happen, and save nothing
        #[arg(long)]
        dry_run: bool,
    },
    /// List your trials
    List,
    /// Show one trial with all its counts
    Show {
        /// Its code
        trial: String,
    },
}

pub(super) async fn cmd_trial(context: &Context, args: TrialArgs) -> Result<(), Failure> {
    let request = match args.command {
        TrialCommand::Import { file, dry_run } => import(&file, dry_run)?,
        TrialCommand::List => Request::TrialList,
        TrialCommand::Show { trial } => Request::TrialShow { trial },
    };
    ask::show(context, request).await
}

fn import(file: &std::path::Path, dry_run: bool) -> Result<Request, Failure> {
    let bytes = read_table(file)?;
    let name = file.display().to_string();
    let table = crate::table::as_text(crate::bench::import::WHAT, &name, &bytes)?.to_owned();
    Ok(Request::TrialImport { file: name, table, dry_run })
}
