//! `propagule completions`

use clap::Args;
use clap_complete::Shell;

use super::{Context, commands};
use propagule_files::fault::Fault;

#[derive(Debug, Args)]
pub(crate) struct CompletionsArgs {
    shell: Shell,
}

pub(super) fn cmd_completions(context: &Context, args: &CompletionsArgs) -> Result<(), Fault> {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut commands(), "propagule", &mut script);
    context.ui.out(&String::from_utf8_lossy(&script))
}
