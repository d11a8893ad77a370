//! `propagule pool`

use std::path::PathBuf;

use clap::Args;

use super::input::read_table;
use super::output::write_file;
use super::question::QuestionArgs;
use super::scope::ScopeArgs;
use super::{Context, ask};
use propagule_answer::{Source, pool, render};
use propagule_app::{PoolRequest, Reply, Report, Request};
use propagule_evidence::{Grouping, csv};
use propagule_files::fault::Fault;

/// Pool everybody's trials of a species: which methods really root, and how sure that is
///
/// Examples:
///   propagule pool "Morus nigra"
///   propagule pool "Cornus mas" --by none --json
///   propagule pool "Morus nigra" --facets --evidence evidence.csv
///   propagule pool --from evidence.csv
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct PoolArgs {
    /// Plant name
    #[arg(required_unless_present = "from")]
    species: Option<String>,
    /// Split methods further by these facets, by `path` for where survivors were moved to, or `none` to pool all
    #[arg(long, value_name = "FACETS")]
    by: Option<String>,
    /// Take only arms with this facet; may be given several times
    #[arg(long = "where", value_name = "FACET=VALUE")]
    filters: Vec<String>,
    /// Leave contrasts of trials with one pot, tray or row an arm out
    #[arg(long)]
    replicated_only: bool,
    /// Also what each grower moves, classical results, and other priors
    #[arg(long)]
    detail: bool,
    /// What each facet adds, everything else equal, in one model; or only these facets
    #[arg(long, value_name = "FACETS", num_args = 0..=1, require_equals = true, default_missing_value = "")]
    facets: Option<String>,
    /// Also write the rows that are counted into a CSV table, which --from reads
    #[arg(long, value_name = "FILE", conflicts_with = "from")]
    evidence: Option<PathBuf>,
    #[command(flatten)]
    scope: ScopeArgs,
    /// Take the evidence from a CSV table instead of the network
    #[arg(long, value_name = "FILE")]
    from: Option<PathBuf>,
    #[command(flatten)]
    question: QuestionArgs,
}

pub(super) async fn cmd_pool(context: &Context, args: PoolArgs) -> Result<(), Fault> {
    let grouping = Grouping::parse(args.by.as_deref(), &args.filters)?;
    let question = args.question.question();
    let width = context.ui.width();
    let facets = args.facets.as_deref().map(facet_names).transpose()?;
    let Some(file) = &args.from else {
        let species = args.species.clone().unwrap_or_default();
        let PoolArgs { replicated_only, detail, .. } = args;
        let scope = args.scope.scope();
        let request =
            PoolRequest { species, question, grouping, scope, replicated_only, detail, facets, width };
        if let Some(file) = &args.evidence {
            write_evidence(context, file, request.clone()).await?;
        }
        return ask::show(context, Request::Pool(request)).await;
    };
    args.scope.check_table()?;
    let table = read_evidence(file)?;
    let evidence = table.select(args.species.as_deref(), question)?;
    let request = pool::PoolRequest {
        source: Source::File,
        question,
        grouping,
        detail: args.detail,
        facets,
        replicated_only: args.replicated_only,
        ..pool::PoolRequest::new(species_of(&table, args.species))
    };
    let answer = pool::pool(&evidence, &request)?;
    let json = serde_json::to_value(&answer).expect("an answer is plain data");
    context.ui.show(&Report { text: render::pool_text(&answer, width), json })
}

/// Facets as typed, each known; none typed means the usual ones.
fn facet_names(text: &str) -> Result<Vec<String>, Fault> {
    if text.is_empty() {
        return Ok(Vec::new());
    }
    let grouping = Grouping::parse(Some(text), &[])?;
    if grouping.pool_all {
        return Err(Fault::usage("facets-none"));
    }
    if grouping.by_path {
        return Err(Fault::usage("facets-path"));
    }
    Ok(grouping.by)
}

/// Writes the rows that are counted.
async fn write_evidence(
    context: &Context,
    file: &std::path::Path,
    request: PoolRequest,
) -> Result<(), Fault> {
    let reply = ask::ask(context, Request::PoolEvidence(request)).await?;
    let Reply::Export { files, .. } = reply else { return Err(ask::unexpected()) };
    for (_, rows) in files {
        write_file(context, file, &propagule_files::table::as_csv(&rows)?, false)
            .map_err(|failure| failure.hint("choose another name for --evidence"))?;
    }
    Ok(())
}

/// What the evidence of a table is about: as asked, as the table says, or its file's name.
pub(super) fn species_of(table: &csv::CsvEvidence, asked: Option<String>) -> String {
    let only = || table.species().into_iter().next();
    asked.or_else(only).unwrap_or_else(|| table.file.clone())
}

/// Reads an evidence table from disk.
pub(super) fn read_evidence(file: &std::path::Path) -> Result<csv::CsvEvidence, Fault> {
    let bytes = read_table(file)?;
    Ok(csv::read_evidence(&file.display().to_string(), &bytes)?)
}
