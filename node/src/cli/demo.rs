//! `propagule demo`

use clap::Args;

use super::Context;
use crate::demo;
use propagule_files::failure::Failure;

/// Whatever breaks: nothing of the demonstration is worth saving.
const AGAIN: &str = "play it again, with the homes kept to look at: propagule demo --keep";

/// Play the whole job with invented growers and real nodes on this machine
///
/// Examples:
///   propagule demo
///   propagule demo --keep
///   propagule demo --bad-actors
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct DemoArgs {
    /// Keep the homes, and print how to go on by hand
    #[arg(long)]
    keep: bool,
    /// Let some growers lie or err, and see what that moves
    #[arg(long)]
    bad_actors: bool,
}

pub(super) async fn cmd_demo(context: &Context, args: &DemoArgs) -> Result<(), Failure> {
    let options = demo::Options { keep: args.keep, bad_actors: args.bad_actors };
    demo::play(context.ui, options).await.map_err(|failure| failure.or_hint(AGAIN))
}
