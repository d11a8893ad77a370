//! `propagule pool`

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::input::read_table;
use super::output::write_file;
use super::question::QuestionArgs;
use super::scope::ScopeArgs;
use super::{Context, ask};
use propagule_answer::pool::{Beside, pool_beside};
use propagule_answer::question::{AskedOfPrint, Given};
use propagule_app::outcome::Outcome;
use propagule_app::outcome::answers::PoolOutcome;
use propagule_app::{PoolQuestion, Reply, Request};
use propagule_evidence::{Grouping, csv};
use propagule_files::fault::Fault;

/// Pool everybody's trials of a species: which methods really root, and how sure that is
///
/// Examples:
///   propagule pool "Morus nigra"
///   propagule pool "Cornus mas" --by none --json
///   propagule pool "Juglans regia" --printed
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
    /// Show trials in print below growers' results, or `--printed=only` alone; where no grower has reported the
    /// species they are shown anyway
    #[arg(
        long,
        value_enum,
        value_name = "only",
        num_args = 0..=1,
        require_equals = true,
        default_missing_value = "beside",
        hide_possible_values = true,
        alias = "published",
        conflicts_with = "from"
    )]
    printed: Option<PrintedArg>,
    #[command(flatten)]
    scope: ScopeArgs,
    /// Take the evidence from a CSV table instead of the network
    #[arg(long, value_name = "FILE")]
    from: Option<PathBuf>,
    #[command(flatten)]
    question: QuestionArgs,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum PrintedArg {
    Beside,
    Only,
}

impl From<PrintedArg> for AskedOfPrint {
    fn from(arg: PrintedArg) -> Self {
        match arg {
            PrintedArg::Beside => Self::Beside,
            PrintedArg::Only => Self::Only,
        }
    }
}

impl PoolArgs {
    /// What is asked.
    fn question(&self) -> Result<PoolQuestion, Fault> {
        Ok(PoolQuestion {
            species: self.species.clone().unwrap_or_default(),
            count: self.question.question(),
            grouping: Grouping::parse(self.by.as_deref(), &self.filters)?,
            scope: self.scope.scope(),
            replicated_only: self.replicated_only,
            detail: self.detail,
            facets: self.facets.as_deref().map(facet_names).transpose()?,
            printed: self.printed.map_or(AskedOfPrint::NotAsked, AskedOfPrint::from),
        })
    }
}

pub(super) async fn cmd_pool(context: &Context, args: PoolArgs) -> Result<(), Fault> {
    let question = args.question()?;
    let Some(file) = &args.from else {
        if let Some(file) = &args.evidence {
            write_evidence(context, file, question.clone()).await?;
        }
        return ask::show(context, Request::Pool(question)).await;
    };
    args.scope.check_table()?;
    let table = read_evidence(file)?;
    let evidence = table.select(args.species.as_deref(), question.count)?;
    let question = PoolQuestion { species: species_of(&table, args.species), ..question };
    let beside = Beside { given: Given::file(), ..Beside::default() };
    let answer = pool_beside(&evidence, &beside, &question)?;
    let pooled = PoolOutcome { answer, synonyms: Vec::new() };
    ask::show_outcome(context, &Outcome::Pool(Box::new(pooled)))
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
    question: PoolQuestion,
) -> Result<(), Fault> {
    let reply = ask::ask(context, Request::PoolEvidence(question)).await?;
    let Reply::Table(rows) = reply else { return Err(ask::unexpected()) };
    write_file(context, file, &propagule_files::table::as_csv(&rows)?, false)
        .map_err(|failure| failure.hint_named("another-name-for-evidence"))
}

/// What the evidence of a table is about: as asked, as the table says, or its file's name.
pub(super) fn species_of(table: &csv::CsvEvidence, asked: Option<String>) -> String {
    let only = || table.species().into_iter().next();
    asked.or_else(only).unwrap_or_else(|| table.file.clone())
}

/// Reads an evidence table from disk.
pub(super) fn read_evidence(file: &std::path::Path) -> Result<csv::CsvEvidence, Fault> {
    let bytes = read_table(file)?;
    csv::read_evidence(&file.display().to_string(), &bytes)
}
