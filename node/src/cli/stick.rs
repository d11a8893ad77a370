//! `propagule stick`

use clap::Args;

use super::day::ReadingArgs;
use super::{Context, ask};
use propagule_app::{BenchRequest, PutIn, Request, Stick, UnitsOf};
use propagule_bench::StartedKnown;
use propagule_bench::dates::When;
use propagule_bench::typed::place;
use propagule_files::fault::Fault;

#[derive(Debug, Args)]
pub(crate) struct StickArgs {
    trial: String,
    counts: Vec<String>,
    #[arg(long, value_name = "DAY")]
    on: Option<String>,
    #[command(flatten)]
    reading: ReadingArgs,
    #[arg(long)]
    bench: Option<String>,
    #[arg(long)]
    estimated: bool,
    #[arg(long, conflicts_with = "no_open", hide = true)]
    open: bool,
    #[arg(long, hide = true)]
    no_open: bool,
}

pub(super) async fn cmd_stick(context: &Context, args: StickArgs) -> Result<(), Fault> {
    let on = match &args.on {
        Some(text) => args.reading.day(context, "--on", text)?,
        None => When::day(context.clock.today_date()),
    };
    let known = if args.estimated { StartedKnown::Later } else { StartedKnown::Counted };
    let opens = (args.open || args.no_open).then_some(args.open);
    let counts = put_in(context, &args.trial, &args.counts).await?;
    let stick = Stick { trial: args.trial, on, counts, known, spot: args.bench, opens };
    ask::show(context, Request::Bench(Box::new(BenchRequest::Stick(stick)))).await
}

/// Reads the pieces that were put in where they differ from the plan.
async fn put_in(context: &Context, trial: &str, counts: &[String]) -> Result<Vec<PutIn>, Fault> {
    if counts.is_empty() {
        return Ok(Vec::new());
    }
    let found = ask::units(context, UnitsOf::Trial(trial.to_owned())).await?;
    let read = |text: &String| {
        let (unit, pieces) = place::counted(text, &found.units)?;
        Ok(PutIn { unit, pieces })
    };
    counts.iter().map(read).collect()
}
