//! `propagule demo`

use clap::Args;

use super::Context;
use crate::demo;
use propagule_files::fault::Fault;

#[derive(Debug, Args)]
pub(crate) struct DemoArgs {
    #[arg(long)]
    keep: bool,
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
