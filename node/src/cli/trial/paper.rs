//! `propagule trial layout`, `labels`, `sheet`, `report`: where pots stand, and what is printed.

use std::path::PathBuf;

use clap::Args;

use crate::cli::output::write_file;
use crate::cli::{Context, ask};
use propagule_app::{BenchRequest, PaperKind, Reply, Request};
use propagule_files::fault::Fault;
use propagule_present::outcome::paper::Page;

/// Lay the pots of a trial out at random, or show where they stand
///
/// Examples:
///   propagule trial layout M1
///   propagule trial layout M1 --columns 6 --seed 7
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct LayoutArgs {
    /// Code of the trial
    trial: String,
    /// Pots side by side
    #[arg(long)]
    columns: Option<usize>,
    /// Seed of the random order; the same seed gives the same bench
    #[arg(long)]
    seed: Option<u64>,
}

pub(super) fn layout(args: LayoutArgs) -> BenchRequest {
    BenchRequest::Layout { trial: args.trial, columns: args.columns, seed: args.seed }
}

/// Write a page to print: any browser prints it, on A4 or Letter
///
/// Examples:
///   propagule trial labels M1
///   propagule trial sheet M1 --blind --out sheet.html
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct PageArgs {
    /// Code of the trial
    trial: String,
    /// The file to write [default: named after the trial, in this folder]
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Without the arms, so that the scorer does not know them
    #[arg(long)]
    blind: bool,
    /// US Letter instead of A4
    #[arg(long)]
    letter: bool,
    /// Write over a file that is there
    #[arg(long)]
    force: bool,
}

pub(super) async fn page(context: &Context, args: PageArgs, what: PaperKind) -> Result<(), Fault> {
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
