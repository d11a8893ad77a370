//! `propagule trial edit`

use clap::Args;

use crate::cli::Context;
use crate::cli::day::ReadingArgs;
use crate::grammar;
use propagule_app::{BenchRequest, CorrectTrial};
use propagule_bench::doing::Doing;
use propagule_files::fault::Fault;

/// What is done, before what is wrong with it.
const WHAT: Doing = Doing::Correcting;
/// The same of the number put in.
const PUT_IN: Doing = Doing::PuttingIn;

#[derive(Debug, Args)]
pub(crate) struct EditArgs {
    trial: String,
    #[command(flatten)]
    reading: ReadingArgs,
    #[arg(long)]
    species: Option<String>,
    #[arg(long, value_name = "DAY")]
    started_on: Option<String>,
    #[arg(long, value_name = "DAY")]
    lift_on: Option<String>,
    #[arg(long)]
    site: Option<String>,
    #[arg(short, long = "treatment", value_name = "TREATMENT")]
    treatments: Vec<String>,
    #[arg(long, value_name = "OLD=NEW")]
    relabel: Vec<String>,
    #[arg(long, value_name = "POT=N")]
    started: Vec<String>,
    #[arg(long, value_name = "TREATMENT")]
    control: Option<String>,
    #[arg(long, value_name = "NAME: POTS")]
    done_by: Vec<String>,
    #[arg(long, value_name = "TEST")]
    rooted_means: Option<String>,
    #[arg(long, value_name = "STANDARD")]
    finished_means: Option<String>,
    #[arg(long)]
    note: Option<String>,
    #[arg(long)]
    yes: bool,
}

pub(super) fn request(context: &Context, args: EditArgs) -> Result<BenchRequest, Fault> {
    let day = |option: &str, text: &Option<String>| {
        text.as_deref().map(|text| args.reading.day(context, option, text)).transpose()
    };
    let (started_on, lift_on) = (day("--started-on", &args.started_on)?, day("--lift-on", &args.lift_on)?);
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
        place: args.site,
        arms: args
            .treatments
            .iter()
            .map(|text| grammar::arm::arm(context.hearing(WHAT), text))
            .collect::<Result<_, _>>()?,
        relabelled,
        started: args
            .started
            .iter()
            .map(|text| grammar::pots::started(PUT_IN, text))
            .collect::<Result<_, _>>()?,
        rooted_rule: args.rooted_means,
        grade: args.finished_means,
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
