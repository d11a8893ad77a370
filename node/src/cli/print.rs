//! `propagule print`: what is printed.

use std::path::PathBuf;

use clap::{Args, Subcommand};

use super::output::write_file;
use super::{Context, ask};
use propagule_app::{BenchRequest, PaperKind, Reply, Request};
use propagule_files::fault::Fault;
use propagule_present::outcome::paper::Page;

#[derive(Debug, Args)]
pub(crate) struct PrintArgs {
    #[command(subcommand)]
    what: PrintCommand,
}

#[derive(Debug, Subcommand)]
enum PrintCommand {
    Labels(PageArgs),
    Sheet(PageArgs),
    Report(PageArgs),
}

pub(super) async fn cmd_print(context: &Context, args: PrintArgs) -> Result<(), Fault> {
    let (args, what) = match args.what {
        PrintCommand::Labels(args) => (args, PaperKind::Labels),
        PrintCommand::Sheet(args) => (args, PaperKind::ScoreSheet),
        PrintCommand::Report(args) => (args, PaperKind::Report),
    };
    page(context, args, what).await
}

#[derive(Debug, Args)]
struct PageArgs {
    trial: String,
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    #[arg(long)]
    blind: bool,
    #[arg(long)]
    letter: bool,
    #[arg(long)]
    force: bool,
}

async fn page(context: &Context, args: PageArgs, what: PaperKind) -> Result<(), Fault> {
    let request =
        BenchRequest::Paper { trial: args.trial, what, is_blind: args.blind, is_letter: args.letter };
    match ask::ask(context, Request::Bench(Box::new(request))).await? {
        Reply::Page { name, page } => {
            let page = Page::of(&page);
            if context.ui.json {
                let json = page.json(&name);
                let text = serde_json::to_string_pretty(&json).expect("JSON values serialise");
                return context.ui.out(&format!("{text}\n"));
            }
            let path = args.out.unwrap_or_else(|| PathBuf::from(name));
            write_file(context, &path, &page.html(), args.force)
        }
        _ => Err(ask::unexpected()),
    }
}
