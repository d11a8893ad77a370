//! `propagule compare`

use std::path::PathBuf;

use clap::Args;

use super::input::read_table;
use super::pool::{read_evidence, species_of};
use super::question::QuestionArgs;
use super::scope::ScopeArgs;
use super::{Context, ask};
use propagule_answer::compare;
use propagule_answer::question::{Given, OwnTrial};
use propagule_app::outcome::Outcome;
use propagule_app::{CompareQuestion, Request};
use propagule_evidence::csv;
use propagule_files::fault::Fault;

#[derive(Debug, Args)]
pub(crate) struct CompareArgs {
    trial: String,
    #[arg(long, value_name = "FILE", requires = "sites")]
    from: Option<PathBuf>,
    #[arg(long, value_name = "FILE", requires = "from")]
    sites: Option<PathBuf>,
    #[arg(long, value_name = "SITE", conflicts_with = "from")]
    as_if_at: Option<String>,
    #[command(flatten)]
    scope: ScopeArgs,
    #[command(flatten)]
    question: QuestionArgs,
}

pub(super) async fn cmd_compare(context: &Context, args: CompareArgs) -> Result<(), Fault> {
    let count = args.question.question();
    let (Some(file), Some(sites)) = (&args.from, &args.sites) else {
        let CompareArgs { trial, scope, as_if_at, .. } = args;
        let question = CompareQuestion { trial, count, scope: scope.scope(), at: as_if_at };
        return ask::show(context, Request::Compare(question)).await;
    };
    args.scope.check_table()?;
    let table = read_evidence(file)?;
    let bytes = read_table(sites)?;
    let sites = csv::read_sites(&sites.display().to_string(), &bytes)?;
    let own = table.find_trial(&args.trial)?;
    let mut evidence = table.select(own.species.as_deref(), count)?;
    if !evidence.rows.iter().any(|row| row.trial == args.trial) {
        return Err(Fault::user("nothing-counted-in-table")
            .with("trial", &args.trial)
            .with("file", &table.file)
            .with("outcome", count.outcome)
            .with("stage", count.stage));
    }
    evidence.set_sites(&sites);
    evidence.mark_own(&own.grower);
    let own = OwnTrial::of(species_of(&table, own.species.clone()), args.trial.as_str());
    let question = CompareQuestion { count, ..CompareQuestion::about(args.trial) };
    let answer = compare::compare(&evidence, &own, &question, &Given::file())?;
    ask::show_outcome(context, &Outcome::Compare(Box::new(answer)))
}
