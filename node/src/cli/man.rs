//! `propagule man`

use std::path::PathBuf;

use clap::Args;

use super::{Context, commands};
use propagule_files::fault::Fault;
use propagule_files::paste::pasteable;
use propagule_present::words::counted;

#[derive(Debug, Args)]
pub(crate) struct ManArgs {
    #[arg(long, value_name = "FOLDER")]
    into: PathBuf,
}

pub(super) fn cmd_man(context: &Context, args: &ManArgs) -> Result<(), Fault> {
    let folder = &args.into;
    std::fs::create_dir_all(folder).map_err(|e| Fault::file("create", folder, e))?;
    clap_mangen::generate_to(commands(), folder).map_err(|e| Fault::file("write into", folder, e))?;
    let pages = pages(&commands());
    let first = folder.join("propagule.1").display().to_string();
    context.ui.out(&format!(
        "Wrote {} into {}.\nRead one: man -l {}\n",
        counted(pages, "page", "pages"),
        folder.display(),
        pasteable(&first)
    ))
}

/// One page for each command and each command below it; other names of a command have none.
fn pages(command: &clap::Command) -> usize {
    1 + command.get_subcommands().filter(|below| !below.is_hide_set()).map(pages).sum::<usize>()
}
