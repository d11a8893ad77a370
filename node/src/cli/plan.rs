//! `propagule plan`

use std::path::PathBuf;

use clap::Args;

use super::pool::{learning, read_evidence, species_of};
use super::question::QuestionArgs;
use super::scope::ScopeArgs;
use super::{Context, ask};
use propagule_answer::plan;
use propagule_answer::question::{Exact, Given};
use propagule_app::outcome::Outcome;
use propagule_app::{Aim, PlanQuestion, Request};
use propagule_evidence::{Evidence, Grouping};
use propagule_files::closest;
use propagule_files::fault::Fault;

#[derive(Debug, Args)]
pub(crate) struct PlanArgs {
    #[arg(required_unless_present = "from")]
    species: Option<String>,
    #[arg(long, value_name = "N", default_value_t = 5)]
    want: u32,
    #[arg(long, value_name = "CHANCE", default_value = "80%", value_parser = chance, allow_negative_numbers = true)]
    sure: f64,
    #[arg(long, value_name = "N")]
    spare: Option<u32>,
    #[arg(long, value_name = "AMOUNT", allow_negative_numbers = true)]
    cost: Option<f64>,
    #[arg(long, value_name = "MINUTES", allow_negative_numbers = true)]
    minutes: Option<f64>,
    #[arg(long, value_name = "FACETS")]
    by: Option<String>,
    #[arg(long = "where", value_name = "FACET=VALUE")]
    filters: Vec<String>,
    #[command(flatten)]
    scope: ScopeArgs,
    #[arg(long, value_name = "FILE")]
    from: Option<PathBuf>,
    #[arg(long, value_name = "GROWER", requires = "from")]
    own: Option<String>,
    #[command(flatten)]
    question: QuestionArgs,
}

/// Most plants wanted and most pieces spared: what a plan can be made for.
const MOST: u32 = propagule_analysis::planning::MOST_PIECES;

impl PlanArgs {
    /// The aim, checked.
    fn aim(&self) -> Result<Aim, Fault> {
        let Self { want, sure, spare, cost, minutes, .. } = *self;
        whole("--want", want, 1)?;
        spare.map_or(Ok(()), |spare| whole("--spare", spare, 2))?;
        possible(sure)?;
        amount("--cost", cost)?;
        amount("--minutes", minutes)?;
        let [cost, minutes] = [cost, minutes].map(|each| each.map(Exact::from));
        Ok(Aim { want, sure: sure.into(), pieces: spare, cost, minutes })
    }
}

fn whole(option: &str, number: u32, least: u32) -> Result<(), Fault> {
    if (least..=MOST).contains(&number) {
        return Ok(());
    }
    Err(Fault::usage("plan-number-out-of-range")
        .with("option", option)
        .with("number", number)
        .with("least", least)
        .with("most", MOST))
}

/// A chance as `0.8` or `80%`.
fn chance(text: &str) -> Result<f64, std::num::ParseFloatError> {
    match text.trim().strip_suffix('%') {
        Some(percent) => percent.trim().parse::<f64>().map(|percent| percent / 100.0),
        None => text.trim().parse(),
    }
}

fn possible(sure: f64) -> Result<(), Fault> {
    if sure > 0.0 && sure <= 0.999 {
        return Ok(());
    }
    let failure = Fault::usage("chance-out-of-range").with("sure", sure);
    // From 2 on a share was typed in per cent; 1.2 is what `120%` came to.
    Err(if (2.0..=99.9).contains(&sure) {
        failure.with("share", sure / 100.0).hint_named("chance-in-per-cent")
    } else {
        failure.hint_named("chance-of-80-per-cent")
    })
}

fn amount(option: &str, amount: Option<f64>) -> Result<(), Fault> {
    match amount {
        Some(amount) if !(0.0..=1e6).contains(&amount) => {
            Err(Fault::usage("cost-out-of-range").with("option", option).with("amount", amount))
        }
        _ => Ok(()),
    }
}

pub(super) async fn cmd_plan(context: &Context, args: PlanArgs) -> Result<(), Fault> {
    let question = PlanQuestion {
        count: args.question.question(),
        grouping: Grouping::parse(args.by.as_deref(), &args.filters)?,
        scope: args.scope.scope(),
        aim: args.aim()?,
        ..PlanQuestion::about(args.species.clone().unwrap_or_default())
    };
    let Some(file) = &args.from else { return ask::show(context, Request::Plan(question)).await };
    args.scope.check_table()?;
    let table = read_evidence(file)?;
    let mut evidence = table.select(args.species.as_deref(), question.count)?;
    if let Some(own) = &args.own {
        check_grower(&evidence, own, &table.file)?;
        evidence.mark_own(own);
    }
    let question = PlanQuestion { species: species_of(&table, args.species), ..question };
    let learning = learning(&table, question.count, &question.grouping, &question.species);
    let answer = plan::plan(&evidence, &question, &Given { learning, ..Given::file() })?;
    ask::show_outcome(context, &Outcome::Plan(Box::new(answer)))
}

fn check_grower(evidence: &Evidence, own: &str, file: &str) -> Result<(), Fault> {
    let labels = || evidence.rows.iter().map(|row| row.grower.as_str());
    if labels().any(|label| label == own) {
        return Ok(());
    }
    Err(Fault::user("own-rows-missing")
        .with("file", file)
        .with("own", own)
        .with("first", labels().next().unwrap_or("g01"))
        .near(&closest(own, labels(), 3)))
}
