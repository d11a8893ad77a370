//! `propagule withdraw`

use clap::Args;

use super::{Context, ask};
use propagule_app::{Request, withdrawal_reason};
use propagule_files::fault::Fault;

#[derive(Debug, Args)]
pub(crate) struct WithdrawArgs {
    trial: String,
    #[arg(long, default_value = "mistaken")]
    reason: String,
    #[arg(long)]
    yes: bool,
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
