//! `propagule fix`, `correct last`, `undo`: what was entered wrongly.

use clap::{Args, ValueEnum};

use super::day::ReadingArgs;
use super::{Context, ask};
use propagule_app::outcome::units::UnitsToCount;
use propagule_app::{BenchRequest, Reply, Request, UnitsOf};
use propagule_bench::dates::When;
use propagule_bench::typed::tally;
use propagule_files::fault::Fault;

/// Correct an entry of a trial; the history keeps how it stood before
///
/// Examples:
///   propagule fix M1 last 11r2 10r0 12 8
///   propagule fix M1 7 P6:rooted=3,dead=1
///   propagule fix M1 9 --take-back
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct FixArgs {
    /// Code of the trial
    trial: String,
    /// Number of the entry, as in its history, or last
    #[arg(value_name = "ENTRY")]
    entry: String,
    /// Counts as at a check: one for each pot, `.` where that entry stays; or P6:rooted=3
    counts: Vec<String>,
    /// The day of the entry
    #[arg(long, value_name = "DAY")]
    on: Option<String>,
    #[command(flatten)]
    reading: ReadingArgs,
    /// The entry never happened
    #[arg(long, conflicts_with_all = ["counts", "on"])]
    take_back: bool,
}

pub(super) async fn cmd_fix(context: &Context, args: FixArgs) -> Result<(), Fault> {
    let (fixed, of) = args.read(context)?;
    fixed.show(context, of).await
}

impl FixArgs {
    /// What is to be different, and about which entry.
    pub(super) fn read(self, context: &Context) -> Result<(Fixed, UnitsOf), Fault> {
        let on = self.on.as_deref().map(|text| self.reading.day(context, "--on", text)).transpose()?;
        let number = match self.entry.to_ascii_lowercase().as_str() {
            "last" => None,
            text => Some(text.parse().map_err(|_| {
                Fault::usage("entry-number-malformed").with("entry", &self.entry).with("trial", &self.trial)
            })?),
        };
        let fixed = Fixed { counts: self.counts, on, take_back: self.take_back };
        Ok((fixed, UnitsOf::Entry { trial: self.trial, entry: number }))
    }
}

/// What is to be different about an entry.
#[derive(Debug)]
pub(super) struct Fixed {
    pub(super) counts: Vec<String>,
    pub(super) on: Option<When>,
    pub(super) take_back: bool,
}

impl Fixed {
    /// Corrects the entry.
    pub(super) async fn show(self, context: &Context, of: UnitsOf) -> Result<(), Fault> {
        let request = match of {
            // Where nothing is counted, no place has to be known.
            UnitsOf::Entry { trial, entry: Some(entry) } if self.counts.is_empty() => {
                let Self { counts: _, on, take_back } = self;
                BenchRequest::CorrectEntry { trial, entry, counts: Vec::new(), on, take_back }
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
            take_back: self.take_back,
        })
    }
}

/// Correct the last entry of this home
///
/// Examples:
///   propagule correct last 11r2 10r0 12 8
///   propagule correct last P6:rooted=3,dead=1
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct CorrectArgs {
    /// Which entry
    #[arg(value_enum)]
    which: Which,
    /// Counts as at a check
    #[arg(required = true)]
    counts: Vec<String>,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum Which {
    Last,
}

pub(super) async fn cmd_correct(context: &Context, args: CorrectArgs) -> Result<(), Fault> {
    let CorrectArgs { which: Which::Last, counts } = args;
    Fixed { counts, on: None, take_back: false }.show(context, UnitsOf::LastEntry).await
}

/// Take back the last entry of this home; first says which it is
///
/// Examples:
///   propagule undo
///   propagule undo --yes
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct UndoArgs {
    /// You know which it is
    #[arg(long)]
    yes: bool,
}

pub(super) async fn cmd_undo(context: &Context, args: UndoArgs) -> Result<(), Fault> {
    let request = |is_agreed| Request::Bench(Box::new(BenchRequest::Undo { is_agreed }));
    let ui = context.ui;
    if !args.yes {
        let Reply::Proposed(undo) = ask::ask(context, request(false)).await? else {
            return Err(ask::unexpected());
        };
        ask::show_outcome(context, &undo)?;
        if !(ui.can_ask() && ui.ask("Take it back?")?) {
            return Err(Fault::user("undo-needs-yes"));
        }
    }
    ask::show(context, request(true)).await
}
