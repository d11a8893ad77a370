//! `propagule completions`

use clap::{Args, CommandFactory};
use clap_complete::Shell;

use super::{Cli, Context};
use propagule_files::fault::Fault;

/// Print what lets your shell complete commands and options
///
/// Examples:
///   propagule completions bash > ~/.local/share/bash-completion/completions/propagule
///   propagule completions fish > ~/.config/fish/completions/propagule.fish
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct CompletionsArgs {
    /// The shell
    shell: Shell,
}

pub(super) fn cmd_completions(context: &Context, args: &CompletionsArgs) -> Result<(), Fault> {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut Cli::command(), "propagule", &mut script);
    context.ui.out(&String::from_utf8_lossy(&script))
}
