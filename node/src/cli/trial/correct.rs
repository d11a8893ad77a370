//! `propagule trial correct`

use clap::Args;

use crate::cli::day::ReadingArgs;
use crate::cli::fix::Fixed;
use crate::cli::{Context, ask};
use crate::grammar;
use propagule_app::{BenchRequest, CorrectTrial, Request, UnitsOf};
use propagule_bench::doing::Doing;
use propagule_files::fault::Fault;

/// What is done, before what is wrong with it.
const WHAT: Doing = Doing::Correcting;
/// The same of the number put in.
const PUT_IN: Doing = Doing::PuttingIn;

/// Correct an entry or the description of a trial; how it stood before is kept in the history
///
/// Examples:
///   propagule trial correct M1 --entry 7 P6:rooted=3,dead=1
///   propagule trial correct M1 --entry 9 --take-back
///   propagule trial correct M1 --started-on 2026-06-06 --arm 'dip: auxin=IBA 8000 mg/L quick dip'
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct CorrectArgs {
    /// Code of the trial
    trial: String,
    /// Number of the entry to correct, as in its history
    #[arg(long, value_name = "NUMBER")]
    entry: Option<u64>,
    /// Counts that replace those of the same pots, such as P6:rooted=3
    #[arg(requires = "entry")]
    counts: Vec<String>,
    /// The day of the entry
    #[arg(long, value_name = "DAY", requires = "entry")]
    on: Option<String>,
    /// The entry never happened
    #[arg(long, requires = "entry", conflicts_with_all = ["counts", "on"])]
    take_back: bool,
    #[command(flatten)]
    reading: ReadingArgs,
    /// The plant
    #[arg(long, conflicts_with = "entry")]
    species: Option<String>,
    /// The day it was put in
    #[arg(long, value_name = "DAY", conflicts_with = "entry")]
    started_on: Option<String>,
    /// Lift day, set in advance
    #[arg(long, value_name = "DAY", conflicts_with = "entry")]
    lift: Option<String>,
    /// The place it belongs to
    #[arg(long, conflicts_with = "entry")]
    place: Option<String>,
    /// What an arm is, such as 'A: auxin=none'; what is not named stays
    #[arg(long = "arm", value_name = "ARM", conflicts_with = "entry")]
    arms: Vec<String>,
    /// A pot got another tag: OLD=NEW
    #[arg(long, value_name = "OLD=NEW", conflicts_with = "entry")]
    relabel: Vec<String>,
    /// Pieces put in, where they were miscounted: P3=4 or A=12
    #[arg(long, value_name = "POT=N", conflicts_with = "entry")]
    started: Vec<String>,
    /// The arm that the others are held against, until the first count
    #[arg(long, value_name = "ARM", conflicts_with = "entry")]
    control: Option<String>,
    /// Who did which pots: 'R: P1,P2'
    #[arg(long, value_name = "NAME: POTS", conflicts_with = "entry")]
    done_by: Vec<String>,
    /// Your rule for rooted
    #[arg(long, value_name = "RULE", conflicts_with = "entry")]
    rooted_rule: Option<String>,
    /// Your own grade of a finished plant
    #[arg(long, conflicts_with = "entry")]
    grade: Option<String>,
    /// Private note
    #[arg(long, conflicts_with = "entry")]
    note: Option<String>,
    /// Take the plant name even where words of it are left out
    #[arg(long, conflicts_with = "entry")]
    yes: bool,
}

/// Corrects an entry where one is named, else the description.
pub(super) async fn cmd_correct(context: &Context, args: CorrectArgs) -> Result<(), Fault> {
    if args.entry.is_some() {
        let on = args.on.as_deref().map(|text| args.reading.day(context, "--on", text)).transpose()?;
        let fixed = Fixed { counts: args.counts, on, take_back: args.take_back };
        return fixed.show(context, UnitsOf::Entry { trial: args.trial, entry: args.entry }).await;
    }
    let request = request(context, args)?;
    ask::show(context, Request::Bench(Box::new(request))).await
}

pub(super) fn request(context: &Context, args: CorrectArgs) -> Result<BenchRequest, Fault> {
    let day = |option: &str, text: &Option<String>| {
        text.as_deref().map(|text| args.reading.day(context, option, text)).transpose()
    };
    let (started_on, lift_on) = (day("--started-on", &args.started_on)?, day("--lift", &args.lift)?);
    let mut relabelled = std::collections::BTreeMap::new();
    for text in &args.relabel {
        let (old, new) =
            text.split_once('=').ok_or_else(|| Fault::usage("relabel-without-equals").with("text", text))?;
        relabelled.insert(old.trim().to_owned(), new.trim().to_owned());
    }
    Ok(BenchRequest::CorrectTrial(CorrectTrial {
        trial: args.trial,
        species: args.species,
        started_on,
        lift_on,
        place: args.place,
        arms: args.arms.iter().map(|text| grammar::arm::arm(WHAT, text)).collect::<Result<_, _>>()?,
        relabelled,
        started: args
            .started
            .iter()
            .map(|text| grammar::pots::started(PUT_IN, text))
            .collect::<Result<_, _>>()?,
        rooted_rule: args.rooted_rule,
        grade: args.grade,
        note: args.note,
        control: args.control,
        done_by: args
            .done_by
            .iter()
            .map(|text| grammar::pots::done_by(WHAT, text))
            .collect::<Result<_, _>>()?,
        yes: args.yes,
    }))
}
