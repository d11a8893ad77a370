//! `propagule withdraw`

use clap::Args;

use super::{Context, ask};
use propagule_app::{Request, withdrawal_reason};
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
    let reason = withdrawal_reason(&args.reason)?;
    let request =
        |confirmed| Request::Withdraw { trial: args.trial.clone(), reason, confirmed, at_once: args.now };
    let no = Fault::user("withdraw-needs-yes").with("trial", &args.trial);
    let question = ask::Question { words: "Take it back?", no };
    ask::with_a_yes(context, args.yes, request, question).await.map(drop)
}
