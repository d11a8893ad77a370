//! `propagule export`

use std::path::PathBuf;

use clap::Args;

use super::output::write_file;
use super::{Context, ask};
use crate::app::{BenchRequest, Reply, Request};
use crate::error::Failure;
use crate::table;

/// Write everything you entered as CSV tables and JSON into a folder
///
/// Examples:
///   propagule export bench-2026
///   propagule export bench-2026 --force
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct ExportArgs {
    /// The folder; it is made where there is none
    folder: PathBuf,
    /// Write over files that are there
    #[arg(long)]
    force: bool,
}

pub(super) async fn cmd_export(context: &Context, args: ExportArgs) -> Result<(), Failure> {
    let reply = ask::ask(context, Request::Bench(Box::new(BenchRequest::Export))).await?;
    let Reply::Export { files, json } = reply else { return Err(ask::unexpected()) };
    std::fs::create_dir_all(&args.folder).map_err(|e| Failure::file("make", &args.folder, e))?;
    for (name, rows) in files {
        write_file(context, &args.folder.join(name), &table::as_csv(&rows)?, args.force)?;
    }
    let text = serde_json::to_string_pretty(&json).expect("JSON values serialise");
    write_file(context, &args.folder.join("bench.json"), &format!("{text}\n"), args.force)?;
    if context.ui.json {
        context.ui.out(&format!("{text}\n"))?;
    }
    Ok(())
}
