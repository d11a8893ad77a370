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

/// Compare one of your trials with growers in a similar climate
///
/// Examples:
///   propagule compare M1
///   propagule compare M1 --at "the allotment" --whose everybody
///   propagule compare g01/t1 --from evidence.csv --sites sites.csv
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct CompareArgs {
    /// Code of your trial, or GROWER/TRIAL of the table
    trial: String,
    /// Take the evidence from a CSV table instead of the network
    #[arg(long, value_name = "FILE", requires = "sites")]
    from: Option<PathBuf>,
    /// Climate of the table's growers: grower,temp,rain
    #[arg(long, value_name = "FILE", requires = "from")]
    sites: Option<PathBuf>,
    /// What if it had stood at another of your places
    #[arg(long, value_name = "PLACE", conflicts_with = "from")]
    at: Option<String>,
    #[command(flatten)]
    scope: ScopeArgs,
    #[command(flatten)]
    question: QuestionArgs,
}

pub(super) async fn cmd_compare(context: &Context, args: CompareArgs) -> Result<(), Fault> {
    let count = args.question.question();
    let (Some(file), Some(sites)) = (&args.from, &args.sites) else {
        let CompareArgs { trial, scope, at, .. } = args;
        let question = CompareQuestion { trial, count, scope: scope.scope(), at };
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
