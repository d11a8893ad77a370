//! `propagule fix`, `correct last`: what was counted wrongly.

use clap::{Args, ValueEnum};

use super::day::ReadingArgs;
use super::{Context, ask};
use propagule_app::outcome::units::UnitsToCount;
use propagule_app::{BenchRequest, Request, UnitsOf};
use propagule_bench::dates::When;
use propagule_bench::typed::tally;
use propagule_files::fault::Fault;

#[derive(Debug, Args)]
pub(crate) struct FixArgs {
    trial: String,
    #[arg(value_name = "ENTRY")]
    entry: String,
    counts: Vec<String>,
    #[arg(long, value_name = "DAY")]
    on: Option<String>,
    #[command(flatten)]
    reading: ReadingArgs,
}

pub(super) async fn cmd_fix(context: &Context, args: FixArgs) -> Result<(), Fault> {
    let (fixed, of) = args.read(context)?;
    fixed.show(context, of).await
}

impl FixArgs {
    /// What is to be different, and about which entry.
    pub(super) fn read(self, context: &Context) -> Result<(Fixed, UnitsOf), Fault> {
        let on = self.on.as_deref().map(|text| self.reading.day(context, "--on", text)).transpose()?;
        let number = entry_number(&self.trial, &self.entry)?;
        Ok((Fixed { counts: self.counts, on }, UnitsOf::Entry { trial: self.trial, entry: number }))
    }
}

/// The number of an entry of a trial; none for the last one.
pub(super) fn entry_number(trial: &str, text: &str) -> Result<Option<u64>, Fault> {
    if text.eq_ignore_ascii_case("last") {
        return Ok(None);
    }
    let wrong = |_| Fault::usage("entry-number-malformed").with("entry", text).with("trial", trial);
    text.parse().map(Some).map_err(wrong)
}

/// What is to be different about an entry.
#[derive(Debug)]
pub(super) struct Fixed {
    counts: Vec<String>,
    on: Option<When>,
}

impl Fixed {
    /// Corrects the entry.
    pub(super) async fn show(self, context: &Context, of: UnitsOf) -> Result<(), Fault> {
        let request = match of {
            // Where nothing is counted, no place has to be known.
            UnitsOf::Entry { trial, entry: Some(entry) } if self.counts.is_empty() => {
                BenchRequest::CorrectEntry { trial, entry, counts: Vec::new(), on: self.on, take_back: false }
            }
            of => self.request(ask::units(context, of).await?)?,
        };
        ask::show(context, Request::Bench(Box::new(request))).await
    }

    /// What is asked for where the entry and the places of its trial are known.
    pub(super) fn request(self, found: UnitsToCount) -> Result<BenchRequest, Fault> {
        let UnitsToCount { units, entry, stage } = found;
        Ok(BenchRequest::CorrectEntry {
            entry: entry.ok_or_else(ask::unexpected)?,
            counts: tally::read_all(&self.counts, None, &units, stage)?,
            trial: units.trial,
            on: self.on,
            take_back: false,
        })
    }
}

#[derive(Debug, Args)]
pub(crate) struct CorrectArgs {
    #[arg(value_enum)]
    which: Which,
    #[arg(required = true)]
    counts: Vec<String>,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum Which {
    Last,
}

pub(super) async fn cmd_correct(context: &Context, args: CorrectArgs) -> Result<(), Fault> {
    let CorrectArgs { which: Which::Last, counts } = args;
    Fixed { counts, on: None }.show(context, UnitsOf::LastEntry).await
}
