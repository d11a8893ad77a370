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

/// What a trial table may hold.
const COLUMNS: &str = "Columns:
  trial, species, started, started_on        needed: code, plant, pieces put in, and the day
  arm                                        label of the treatment, A where there is only one
  kind, wood, form, medium, auxin, humidity, leaves, wound, container, growing_place, \u{2026}
                                             the method, as far as you know it
  lift_on, lift_alive, lift_callused, lift_rooted, lift_dead, lift_lost
  spring_on, spring_alive, spring_rooted, \u{2026}   final_on, final_finished, \u{2026}
                                             counts, each with its day; a blank is not a zero
  place, stock_plants, randomised, blocked, scored_blind, note
                                             the note stays at home";

#[derive(Debug, Subcommand)]
enum TrialCommand {
    /// Read trials from a CSV table, one row an arm; reading it again adds what is new
    ///
    /// Examples:
    ///   propagule trial import season.csv --dry-run
    ///   propagule trial import season.csv
    #[command(verbatim_doc_comment, after_long_help = COLUMNS)]
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
