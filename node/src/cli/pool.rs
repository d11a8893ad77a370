//! `propagule pool`

use std::path::PathBuf;
use std::sync::Arc;

use clap::{Args, ValueEnum};

use super::input::read_table;
use super::output::write_file;
use super::question::QuestionArgs;
use super::scope::ScopeArgs;
use super::{Context, ask};
use propagule_analysis::joint::Watch;
use propagule_answer::learnt::{Corpora, Learning, Trust};
use propagule_answer::pool::{Beside, pool_beside};
use propagule_answer::question::{AskedOfPrint, Given};
use propagule_app::outcome::Outcome;
use propagule_app::outcome::answers::PoolOutcome;
use propagule_app::{PoolQuestion, Reply, Request};
use propagule_evidence::{Grouping, Question, csv};
use propagule_files::fault::Fault;

#[derive(Debug, Args)]
pub(crate) struct PoolArgs {
    #[arg(required_unless_present = "from")]
    species: Option<String>,
    #[arg(long, value_name = "FACETS")]
    by: Option<String>,
    #[arg(long = "where", value_name = "FACET=VALUE")]
    filters: Vec<String>,
    #[arg(long)]
    several_pots_only: bool,
    #[arg(long)]
    detail: bool,
    #[arg(long, value_name = "FACETS", num_args = 0..=1, require_equals = true, default_missing_value = "")]
    effects: Option<String>,
    #[arg(long, value_name = "FILE", conflicts_with = "from")]
    save_results: Option<PathBuf>,
    #[arg(
        long,
        value_enum,
        value_name = "only",
        num_args = 0..=1,
        require_equals = true,
        default_missing_value = "beside",
        hide_possible_values = true,
        conflicts_with = "from"
    )]
    printed: Option<PrintedArg>,
    #[command(flatten)]
    scope: ScopeArgs,
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
            replicated_only: self.several_pots_only,
            detail: self.detail,
            facets: self.effects.as_deref().map(facet_names).transpose()?,
            printed: self.printed.map_or(AskedOfPrint::NotAsked, AskedOfPrint::from),
        })
    }
}

pub(super) async fn cmd_pool(context: &Context, args: PoolArgs) -> Result<(), Fault> {
    let question = args.question()?;
    let Some(file) = &args.from else {
        if let Some(file) = &args.save_results {
            write_evidence(context, file, question.clone()).await?;
        }
        return ask::show(context, Request::Pool(question)).await;
    };
    args.scope.check_table()?;
    let table = read_evidence(file)?;
    let evidence = table.select(args.species.as_deref(), question.count)?;
    let question = PoolQuestion { species: species_of(&table, args.species), ..question };
    let given = Given {
        learning: learning(&table, question.count, &question.grouping, &question.species),
        ..Given::file()
    };
    let beside = Beside { given, ..Beside::default() };
    let answer = pool_beside(&evidence, &beside, &question)?;
    let pooled = PoolOutcome { answer, synonyms: Vec::new() };
    ask::show_outcome(context, &Outcome::Pool(Box::new(pooled)))
}

/// What the other species of a table teach.
pub(super) fn learning(
    table: &csv::CsvEvidence,
    count: Question,
    grouping: &Grouping,
    asked: &str,
) -> Learning {
    let species = table.every_species(count);
    let rows = species.iter().map(|(key, rows)| (key.as_str(), rows.as_slice()));
    let corpora = Corpora::new(rows, grouping, Trust::Whole, b"");
    match corpora.learn(None, &Watch::nobody()) {
        Ok(learnt) => {
            Learning::Done { learnt: Arc::new(learnt), species: csv::species_key(asked), age_minutes: None }
        }
        Err(_) => Learning::NotAsked,
    }
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
