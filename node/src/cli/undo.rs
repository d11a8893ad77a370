//! `propagule undo`: what was entered never happened.

use clap::Args;

use super::fix::entry_number;
use super::{Context, ask};
use propagule_app::{BenchRequest, Reply, Request};
use propagule_files::fault::Fault;

#[derive(Debug, Args)]
pub(crate) struct UndoArgs {
    subject: Option<String>,
    entry: Option<String>,
    #[arg(long, value_name = "ENTRY-ENTRY", conflicts_with = "subject")]
    checks: Option<String>,
    #[arg(long)]
    yes: bool,
}

pub(super) async fn cmd_undo(context: &Context, args: UndoArgs) -> Result<(), Fault> {
    let request = match (&args.subject, &args.checks) {
        (Some(subject), _) => undone(subject, args.entry.as_deref())?,
        (None, Some(text)) => BenchRequest::TakeBackLooks { entries: entries(text)? },
        (None, None) => return last_of_all(context, args.yes).await,
    };
    ask::show(context, Request::Bench(Box::new(request))).await
}

/// What is asked for where a trial or a bench is named.
fn undone(subject: &str, entry: Option<&str>) -> Result<BenchRequest, Fault> {
    let entry = entry.map_or(Ok(None), |entry| entry_number(subject, entry))?;
    Ok(BenchRequest::UndoOf { subject: subject.to_owned(), entry })
}

/// Shows the last entry of the home, and undoes it on a yes.
async fn last_of_all(context: &Context, is_agreed: bool) -> Result<(), Fault> {
    let request = |is_agreed| Request::Bench(Box::new(BenchRequest::Undo { is_agreed }));
    let ui = context.ui;
    if !is_agreed {
        let Reply::Proposed(undo) = ask::ask(context, request(false)).await? else {
            return Err(ask::unexpected());
        };
        ask::show_outcome(context, &undo)?;
        if !(ui.can_ask() && ui.ask("Take it back?")?) {
            return Err(Fault::user("undo-needs-yes"));
        }
    }
    ask::show(context, request(true)).await
}

/// Reads `12-51` or `12`.
fn entries(text: &str) -> Result<(u64, u64), Fault> {
    let (first, last) = text.split_once('-').unwrap_or((text, text));
    let read = |number: &str| number.trim().parse::<u64>().ok();
    read(first)
        .zip(read(last))
        .filter(|(first, last)| first <= last)
        .ok_or_else(|| Fault::usage("look-range-malformed").with("text", text))
}
