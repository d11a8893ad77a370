//! `propagule due`

use std::path::PathBuf;

use clap::Args;

use super::day::ReadingArgs;
use super::output::write_file;
use super::{Context, ask};
use crate::app::{BenchRequest, Reply, Request};
use crate::error::Failure;

/// What is due: checks, lift days, suckers, spring counts, results not published yet
///
/// Examples:
///   propagule due
///   propagule due --as-of 2026-06-20 --ics bench.ics
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct DueArgs {
    /// As seen from that day [default: today]
    #[arg(long, value_name = "DAY")]
    as_of: Option<String>,
    #[command(flatten)]
    reading: ReadingArgs,
    /// Write a calendar file too
    #[arg(long, value_name = "FILE")]
    ics: Option<PathBuf>,
    /// Write over a file that is there
    #[arg(long, requires = "ics")]
    force: bool,
}

pub(super) async fn cmd_due(context: &Context, args: DueArgs) -> Result<(), Failure> {
    let as_of = match &args.as_of {
        Some(text) => args.reading.day(context, "--as-of", text)?.middle(),
        None => context.clock.today_date(),
    };
    let reply = ask::ask(context, Request::Bench(Box::new(BenchRequest::Due { as_of }))).await?;
    let Reply::Report(report) = reply else { return Err(ask::unexpected()) };
    context.ui.show(&report)?;
    if let Some(path) = args.ics {
        let calendar = report.json["calendar"].as_str().unwrap_or_default();
        write_file(context, &path, calendar, args.force)?;
    }
    Ok(())
}
