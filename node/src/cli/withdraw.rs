//! `propagule withdraw`

use clap::Args;

use super::{Context, ask};
use crate::app::{Reply, Request};
use propagule_files::fault::Fault;

/// Take a published trial back, for ever; others may keep copies of what they have
///
/// Examples:
///   propagule withdraw M1 --reason 'wrong plant'
///   propagule withdraw M1 --reason mistaken --yes
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct WithdrawArgs {
    /// Code of the trial
    trial: String,
    /// Why: mistaken, wrong plant, or private again
    #[arg(long, default_value = "mistaken")]
    reason: String,
    /// You know that it is final
    #[arg(long)]
    yes: bool,
    /// Without the random delay and by gossip at once
    #[arg(long)]
    now: bool,
}

pub(super) async fn cmd_withdraw(context: &Context, args: WithdrawArgs) -> Result<(), Fault> {
    let request = |confirmed| Request::Withdraw {
        trial: args.trial.clone(),
        reason: args.reason.clone(),
        confirmed,
        at_once: args.now,
    };
    let ui = context.ui;
    if args.yes {
        return ask::show(context, request(true)).await;
    }
    match ask::ask(context, request(false)).await? {
        Reply::Preview(preview) => {
            ui.show(&preview)?;
            if ui.can_ask() && ui.ask("Take it back?")? {
                return ask::show(context, request(true)).await;
            }
            Err(Fault::user("withdraw-needs-yes").with("trial", &args.trial))
        }
        Reply::Report(report) => ui.show(&report),
        _ => Err(ask::unexpected()),
    }
}
