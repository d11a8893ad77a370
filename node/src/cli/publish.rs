//! `propagule publish`

use std::path::Path;

use clap::Args;

use super::{Context, ask, key};
use propagule_app::Request;
use propagule_app::outcome::Outcome;
use propagule_app::outcome::publish::PublishStep;
use propagule_files::fault::Fault;

#[derive(Debug, Args)]
pub(crate) struct PublishArgs {
    trial: String,
    #[arg(long)]
    yes: bool,
    #[arg(long)]
    now: bool,
    #[arg(long, conflicts_with = "yes")]
    preview: bool,
}

/// Where a revocation is written when it is offered.
const SHEET: &str = "cancel-key.txt";

pub(super) async fn cmd_publish(context: &Context, args: PublishArgs) -> Result<(), Fault> {
    let request = |confirmed| Request::Publish { trial: args.trial.clone(), confirmed, at_once: args.now };
    let ui = context.ui;
    if args.preview {
        return ask::show(context, request(false)).await;
    }
    let no = Fault::user("publish-needs-yes").with("trial", &args.trial);
    let question = ask::Question { words: "Publish this?", no };
    let outcome = ask::with_a_yes(context, args.yes, request, question).await?;
    // A revocation to print is offered with the first record under a key.
    if is_first(&outcome) && ui.can_ask() && ui.ask(&format!("Write {SHEET} here now, to print and keep?"))? {
        return key::write_sheet(context, Path::new(SHEET), false).await;
    }
    Ok(())
}

fn is_first(outcome: &Outcome) -> bool {
    let Outcome::Publish(publish) = outcome else { return false };
    matches!(publish.step, PublishStep::Published { first_under_this_key: true, .. })
}
