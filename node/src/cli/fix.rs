//! `propagule fix`, `correct last`, `undo`: what was entered wrongly.

use clap::{Args, ValueEnum};

use super::day::ReadingArgs;
use super::{Context, ask};
use crate::app::{BenchRequest, Reply, Request};
use propagule_files::fault::Fault;

/// Correct an entry of a trial; the history keeps how it stood before
///
/// Examples:
///   propagule fix M1 last 11r2 10r0 12 8
///   propagule fix M1 7 P6:rooted=3,dead=1
///   propagule fix M1 9 --take-back
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct FixArgs {
    /// Code of the trial
    trial: String,
    /// Number of the entry, as in its history, or last
    #[arg(value_name = "ENTRY")]
    entry: String,
    /// Counts as at a check: one for each pot, `.` where that entry stays; or P6:rooted=3
    counts: Vec<String>,
    /// The day of the entry
    #[arg(long, value_name = "DAY")]
    on: Option<String>,
    #[command(flatten)]
    reading: ReadingArgs,
    /// The entry never happened
    #[arg(long, conflicts_with_all = ["counts", "on"])]
    take_back: bool,
}

pub(super) async fn cmd_fix(context: &Context, args: FixArgs) -> Result<(), Fault> {
    let on = args.on.as_deref().map(|text| args.reading.day(context, "--on", text)).transpose()?;
    let (trial, counts, take_back) = (args.trial, args.counts, args.take_back);
    let request = if args.entry.eq_ignore_ascii_case("last") {
        BenchRequest::Fix { trial: Some(trial), counts, on, take_back }
    } else {
        let entry = args.entry.parse().map_err(|_| {
            Fault::usage("entry-number-malformed").with("entry", &args.entry).with("trial", &trial)
        })?;
        BenchRequest::CorrectEntry { trial, entry, counts, on, take_back }
    };
    ask::show(context, Request::Bench(Box::new(request))).await
}

/// Correct the last entry of this home
///
/// Examples:
///   propagule correct last 11r2 10r0 12 8
///   propagule correct last P6:rooted=3,dead=1
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct CorrectArgs {
    /// Which entry
    #[arg(value_enum)]
    which: Which,
    /// Counts as at a check
    #[arg(required = true)]
    counts: Vec<String>,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum Which {
    Last,
}

pub(super) async fn cmd_correct(context: &Context, args: CorrectArgs) -> Result<(), Fault> {
    let CorrectArgs { which: Which::Last, counts } = args;
    let request = BenchRequest::Fix { trial: None, counts, on: None, take_back: false };
    ask::show(context, Request::Bench(Box::new(request))).await
}

/// Take back the last entry of this home; first says which it is
///
/// Examples:
///   propagule undo
///   propagule undo --yes
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct UndoArgs {
    /// You know which it is
    #[arg(long)]
    yes: bool,
}

pub(super) async fn cmd_undo(context: &Context, args: UndoArgs) -> Result<(), Fault> {
    let request = |is_agreed| Request::Bench(Box::new(BenchRequest::Undo { is_agreed }));
    let ui = context.ui;
    if args.yes {
        return ask::show(context, request(true)).await;
    }
    let Reply::Preview(preview) = ask::ask(context, request(false)).await? else {
        return Err(ask::unexpected());
    };
    ui.show(&preview)?;
    if ui.can_ask() && ui.ask("Take it back?")? {
        return ask::show(context, request(true)).await;
    }
    Err(Fault::user("undo-needs-yes"))
}
