//! `propagule stick`

use clap::Args;

use super::day::ReadingArgs;
use super::{Context, ask};
use propagule_app::{BenchRequest, PutIn, Request, Stick, UnitsOf};
use propagule_bench::StartedKnown;
use propagule_bench::dates::When;
use propagule_bench::typed::place;
use propagule_files::fault::Fault;

/// The pieces of a trial are in: fixes the day and the number put in
///
/// Examples:
///   propagule stick M1
///   propagule stick M1 --on 'about 2026-06-06' P3=3 --spot 'mist house'
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct StickArgs {
    /// Code of the trial
    trial: String,
    /// Pieces put in where they differ from the plan, such as P3=3
    counts: Vec<String>,
    /// The day: 2026-06-05, "5 June 2026", "about 2026-06-06", a month or a range [default: today]
    #[arg(long, value_name = "DAY")]
    on: Option<String>,
    #[command(flatten)]
    reading: ReadingArgs,
    /// Where they stand
    #[arg(long)]
    spot: Option<String>,
    /// The number put in was worked out or remembered later, not counted on the day
    #[arg(long)]
    from_memory: bool,
    /// From now on open trials on the network when they are put in
    #[arg(long, conflicts_with = "no_open")]
    open: bool,
    /// From now on do not open trials on the network
    #[arg(long)]
    no_open: bool,
}

pub(super) async fn cmd_stick(context: &Context, args: StickArgs) -> Result<(), Fault> {
    let on = match &args.on {
        Some(text) => args.reading.day(context, "--on", text)?,
        None => When::day(context.clock.today_date()),
    };
    let known = if args.from_memory { StartedKnown::Later } else { StartedKnown::Counted };
    let opens = (args.open || args.no_open).then_some(args.open);
    let counts = put_in(context, &args.trial, &args.counts).await?;
    let stick = Stick { trial: args.trial, on, counts, known, spot: args.spot, opens };
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
