//! `propagule export`

use std::path::{Path, PathBuf};

use clap::Args;

use super::output::{write_bytes, write_file};
use super::{Context, ask};
use propagule_app::{BenchRequest, Reply, Request, archive};
use propagule_files::fault::Fault;
use propagule_files::table;
use propagule_present::outcome::export;

#[derive(Debug, Args)]
pub(crate) struct ExportArgs {
    #[arg(value_name = "FILE.zip|FOLDER")]
    target: PathBuf,
    #[arg(long)]
    table: bool,
    #[arg(long, conflicts_with = "table")]
    with_keys: bool,
    #[arg(long)]
    force: bool,
}

pub(super) async fn cmd_export(context: &Context, args: ExportArgs) -> Result<(), Fault> {
    let is_archive = args.target.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("zip"));
    match (is_archive, args.table, args.with_keys) {
        (true, true, _) => Err(Fault::usage("table-needs-folder")),
        (false, _, true) => Err(Fault::usage("keys-need-archive")),
        (true, ..) => write_archive(context, &args).await,
        (false, ..) => write_folder(context, &args).await,
    }
}

async fn write_archive(context: &Context, args: &ExportArgs) -> Result<(), Fault> {
    if args.target.exists() && !args.force {
        return Err(super::output::is_there(&args.target));
    }
    let reply = ask::ask(context, Request::Archive { with_keys: args.with_keys }).await?;
    let Reply::Archive { zip, made } = reply else { return Err(ask::unexpected()) };
    write_bytes(context, &args.target, &archive::bytes_of(&zip)?, args.force, args.with_keys)?;
    ask::ask(context, Request::ArchiveWritten).await?;
    ask::show_outcome(context, &made)
}

async fn write_folder(context: &Context, args: &ExportArgs) -> Result<(), Fault> {
    let request = BenchRequest::Export { table_only: args.table };
    let reply = ask::ask(context, Request::Bench(Box::new(request))).await?;
    let Reply::Bench(bench) = reply else { return Err(ask::unexpected()) };
    let folder: &Path = &args.target;
    std::fs::create_dir_all(folder).map_err(|e| Fault::file("make", folder, e))?;
    for (name, rows) in export::tables(&bench) {
        write_file(context, &folder.join(name), &table::as_csv(&rows)?, args.force)?;
    }
    let (name, text) = export::DESCRIPTOR;
    write_file(context, &folder.join(name), text, args.force)?;
    let text = serde_json::to_string_pretty(&export::json(&bench)).expect("JSON values serialise");
    if !args.table {
        write_file(context, &folder.join("bench.json"), &format!("{text}\n"), args.force)?;
        context.ui.note(
            "bench-table.csv takes the place of trials.csv; to move to another computer: propagule export FILE.zip",
        );
    }
    if context.ui.json {
        context.ui.out(&format!("{text}\n"))?;
    }
    Ok(())
}
