//! `propagule due`

use std::path::PathBuf;

use clap::Args;

use super::day::ReadingArgs;
use super::output::write_file;
use super::{Context, ask};
use propagule_app::outcome::Outcome;
use propagule_app::{BenchRequest, DuePart, Request};
use propagule_files::fault::Fault;
use propagule_present::outcome as present;

#[derive(Debug, Args)]
pub(crate) struct DueArgs {
    #[arg(long, value_name = "DAY")]
    as_of: Option<String>,
    #[command(flatten)]
    reading: ReadingArgs,
    #[arg(long)]
    all: bool,
    #[arg(long, value_name = "DAY")]
    until: Option<String>,
    #[arg(long)]
    bench: Option<String>,
    #[arg(long, value_name = "CODE")]
    trial: Option<String>,
    #[arg(long, value_name = "FILE")]
    ics: Option<PathBuf>,
    #[arg(long, requires = "ics")]
    force: bool,
}

pub(super) async fn cmd_due(context: &Context, args: DueArgs) -> Result<(), Fault> {
    let as_of = match &args.as_of {
        Some(text) => args.reading.day(context, "--as-of", text)?.middle(),
        None => context.clock.today_date(),
    };
    let until = args.until.as_deref().map(|text| args.reading.day(context, "--until", text)).transpose()?;
    let part =
        DuePart { all: args.all, until: until.map(|when| when.last), spot: args.bench, trial: args.trial };
    let due = ask::done(context, Request::Bench(Box::new(BenchRequest::Due { as_of, part }))).await?;
    ask::show_outcome(context, &due)?;
    let Outcome::Due(list) = due else { return Err(ask::unexpected()) };
    if let Some(path) = args.ics {
        write_file(context, &path, &present::said::line(&list.calendar), args.force)?;
    }
    Ok(())
}
