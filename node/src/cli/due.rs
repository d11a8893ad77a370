//! `propagule due`

use std::path::PathBuf;

use clap::Args;

use super::day::ReadingArgs;
use super::output::write_file;
use super::{Context, ask};
use propagule_app::outcome::Outcome;
use propagule_app::{BenchRequest, DuePart, Request};
use propagule_files::fault::Fault;
use propagule_present::outcome as present;

/// What is due: checks, lift days, suckers, spring counts, results not published yet
///
/// Examples:
///   propagule due
///   propagule due --as-of 2026-06-20 --ics bench.ics
///   propagule due --spot 'mist house' --until 2026-08-31
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct DueArgs {
    /// As seen from that day [default: today]
    #[arg(long, value_name = "DAY")]
    as_of: Option<String>,
    #[command(flatten)]
    reading: ReadingArgs,
    /// Every task of every trial, late ones and sleeping ones too
    #[arg(long)]
    all: bool,
    /// Everything that is due by that day
    #[arg(long, value_name = "DAY")]
    until: Option<String>,
    /// Everything on that spot
    #[arg(long)]
    spot: Option<String>,
    /// Everything of one trial
    #[arg(long, value_name = "CODE")]
    trial: Option<String>,
    /// Write a calendar file too: what is due now, and in the coming 90 days
    #[arg(long, value_name = "FILE")]
    ics: Option<PathBuf>,
    /// Write over a file that is there
    #[arg(long, requires = "ics")]
    force: bool,
}

pub(super) async fn cmd_due(context: &Context, args: DueArgs) -> Result<(), Fault> {
    let as_of = match &args.as_of {
        Some(text) => args.reading.day(context, "--as-of", text)?.middle(),
        None => context.clock.today_date(),
    };
    let until = args.until.as_deref().map(|text| args.reading.day(context, "--until", text)).transpose()?;
    let part =
        DuePart { all: args.all, until: until.map(|when| when.last), spot: args.spot, trial: args.trial };
    let due = ask::done(context, Request::Bench(Box::new(BenchRequest::Due { as_of, part }))).await?;
    ask::show_outcome(context, &due)?;
    let Outcome::Due(list) = due else { return Err(ask::unexpected()) };
    if let Some(path) = args.ics {
        write_file(context, &path, &present::said::line(&list.calendar), args.force)?;
    }
    Ok(())
}
