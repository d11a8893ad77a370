//! `propagule trial`

mod close;
mod correct;
mod new;
mod paper;

use std::path::PathBuf;

use clap::{Args, Subcommand};

use super::input::read_table;
use super::{Context, ask};
use crate::app::{BenchRequest, Request};
use crate::error::Failure;

/// Trials of your bench: set one up, bring in last year's, look at them, print, correct
///
/// Examples:
///   propagule trial new N1 "Ribes nigrum" --pieces 30
///   propagule trial list
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
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
  grower, place, spot, stock_plants, randomised, blocked, scored_blind, note
                                             grower: whom you enter it for; names and notes stay at home
Other headings are mapped with --map, and remembered.";

#[derive(Debug, Subcommand)]
enum TrialCommand {
    New(Box<new::NewArgs>),
    Copy(new::CopyArgs),
    /// Read trials from a CSV table, one row an arm; reading it again adds what is new
    ///
    /// Examples:
    ///   propagule trial import season.csv --dry-run
    ///   propagule trial import lots.csv --map Lot=trial --map 'PutIn=started' --dates day-first
    #[command(verbatim_doc_comment, after_long_help = COLUMNS)]
    Import {
        /// The table; - reads what is pasted or piped in
        file: PathBuf,
        /// Say what would happen, and save nothing
        #[arg(long)]
        dry_run: bool,
        /// What a heading of yours means, such as Lot=trial; remembered for the next table
        #[arg(long, value_name = "HEADING=COLUMN")]
        map: Vec<String>,
        #[command(flatten)]
        reading: super::day::ReadingArgs,
        /// Take in the rows that are right, and leave the others out
        #[arg(long)]
        leave_out: bool,
    },
    /// List your trials
    ///
    /// Examples:
    ///   propagule trial list
    ///   propagule trial list --json
    #[command(verbatim_doc_comment)]
    List,
    /// Show one trial: its method, its counts, and what they show
    ///
    /// Examples:
    ///   propagule trial show M1
    ///   propagule trial show M1 --detail
    #[command(verbatim_doc_comment)]
    Show {
        /// Its code
        trial: String,
        /// Differences between pots, curves over time, tests as if every piece were independent
        #[arg(long)]
        detail: bool,
    },
    /// Everything that was entered for a trial, with its corrections
    ///
    /// Examples:
    ///   propagule trial history M1
    ///   propagule trial history M1 --json
    #[command(verbatim_doc_comment)]
    History {
        /// Its code
        trial: String,
    },
    Correct(Box<correct::CorrectArgs>),
    Close(close::CloseArgs),
    Reopen(close::ReopenArgs),
    Private(close::PrivateArgs),
    /// Show what each pot of a trial holds and when it was last looked at, in the order in which counts are typed
    ///
    /// Examples:
    ///   propagule trial pots M1
    ///   propagule trial pots M1 --on 2026-08-03
    #[command(verbatim_doc_comment)]
    Pots(super::pots::PotsArgs),
    Layout(paper::LayoutArgs),
    Labels(paper::PageArgs),
    Sheet(paper::PageArgs),
    Report(paper::PageArgs),
    /// Hide a caution for the rest of this season
    ///
    /// Examples:
    ///   propagule trial caution mist-water --hide
    ///   propagule trial caution heat --hide
    #[command(verbatim_doc_comment)]
    Caution {
        /// Its name, as it stands in brackets
        name: String,
        /// Hide it
        #[arg(long, required = true)]
        hide: bool,
    },
}

pub(super) async fn cmd_trial(context: &Context, args: TrialArgs) -> Result<(), Failure> {
    let bench = |request| Request::Bench(Box::new(request));
    let request = match args.command {
        TrialCommand::New(args) => bench(new::request(context, *args)?),
        TrialCommand::Copy(args) => bench(new::copy(context, args)?),
        TrialCommand::Import { file, dry_run, map, reading, leave_out } => {
            import(&file, dry_run, &map, &reading, leave_out)?
        }
        TrialCommand::List => Request::TrialList,
        TrialCommand::Show { trial, detail } => {
            Request::TrialShow { trial, detail, width: context.ui.width() }
        }
        TrialCommand::History { trial } => bench(BenchRequest::History { trial }),
        TrialCommand::Correct(args) => bench(correct::request(context, *args)?),
        TrialCommand::Pots(args) => return super::pots::cmd_pots(context, args).await,
        TrialCommand::Close(args) => return close::cmd_close(context, args).await,
        TrialCommand::Reopen(args) => bench(close::reopen(args)),
        TrialCommand::Private(args) => bench(close::private(args)),
        TrialCommand::Layout(args) => bench(paper::layout(context, args)),
        TrialCommand::Labels(args) => return paper::page(context, args, crate::app::PaperKind::Labels).await,
        TrialCommand::Sheet(args) => {
            return paper::page(context, args, crate::app::PaperKind::ScoreSheet).await;
        }
        TrialCommand::Report(args) => return paper::page(context, args, crate::app::PaperKind::Report).await,
        TrialCommand::Caution { name, .. } => bench(BenchRequest::Dismiss { caution: name }),
    };
    ask::show(context, request).await
}

fn import(
    file: &std::path::Path,
    dry_run: bool,
    map: &[String],
    reading: &super::day::ReadingArgs,
    leave_out: bool,
) -> Result<Request, Failure> {
    let bytes = read_table(file)?;
    let name = file.display().to_string();
    let table = crate::table::as_text(crate::bench::import::WHAT, &name, &bytes)?.to_owned();
    let mut columns = std::collections::BTreeMap::new();
    for text in map {
        let (heading, column) = text.split_once('=').ok_or_else(|| {
            Failure::usage(format!("--map \"{text}\" has no `=`"))
                .hint("write your heading first: --map Lot=trial")
        })?;
        columns.insert(heading.trim().to_owned(), column.trim().to_owned());
    }
    Ok(Request::TrialImport { file: name, table, dry_run, columns, reading: reading.reading(), leave_out })
}
