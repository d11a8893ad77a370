//! `propagule demo`

use clap::Args;

use super::Context;
use crate::demo;
use propagule_files::fault::Fault;

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

pub(super) async fn cmd_demo(context: &Context, args: &DemoArgs) -> Result<(), Fault> {
    let options = demo::Options { keep: args.keep, bad_actors: args.bad_actors };
    demo::play(context.ui, options).await.map_err(again)
}

/// What stopped it, and how to begin again where nothing nearer is to be done.
fn again(fault: Fault) -> Fault {
    if propagule_present::fault::hints(&fault).is_empty() { fault.hint_named("demo-again") } else { fault }
}
