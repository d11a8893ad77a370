//! `propagule publish`

use std::path::Path;

use clap::Args;

use super::{Context, ask, key};
use crate::app::{Reply, Request};
use propagule_files::fault::Fault;

/// Publish a trial: first shows exactly what leaves your machine, then needs a yes
///
/// Examples:
///   propagule publish M1
///   propagule publish M1 --yes
///   propagule publish M1 --yes --now
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct PublishArgs {
    /// Code of the trial
    trial: String,
    /// You have seen what leaves and agree
    #[arg(long)]
    yes: bool,
    /// Without the random delay and by gossip at once: peers that watch closely can then guess where it came from
    #[arg(long)]
    now: bool,
    /// Only show what would leave
    #[arg(long, conflicts_with = "yes")]
    preview: bool,
}

/// Where a revocation is written when it is offered.
const SHEET: &str = "revocation.txt";

pub(super) async fn cmd_publish(context: &Context, args: PublishArgs) -> Result<(), Fault> {
    let request = |confirmed| Request::Publish { trial: args.trial.clone(), confirmed, at_once: args.now };
    let ui = context.ui;
    if args.yes {
        return publish(context, request(true)).await;
    }
    match ask::ask(context, request(false)).await? {
        Reply::Preview(preview) => {
            ui.show(&preview)?;
            if args.preview {
                return Ok(());
            }
            if ui.can_ask() && ui.ask("Publish this?")? {
                return publish(context, request(true)).await;
            }
            Err(Fault::user("publish-needs-yes").with("trial", &args.trial))
        }
        Reply::Report(report) => ui.show(&report),
        _ => Err(ask::unexpected()),
    }
}

/// Publishes, and offers a revocation to print when it is the first record under a key.
async fn publish(context: &Context, request: Request) -> Result<(), Fault> {
    let ui = context.ui;
    let Reply::Report(report) = ask::ask(context, request).await? else { return Err(ask::unexpected()) };
    ui.show(&report)?;
    let is_first = report.json["first_under_this_key"] == true;
    if is_first && ui.can_ask() && ui.ask(&format!("Write {SHEET} here now, to print and keep?"))? {
        return key::write_sheet(context, Path::new(SHEET), false).await;
    }
    Ok(())
}
