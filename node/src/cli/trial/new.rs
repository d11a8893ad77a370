//! `propagule trial new`

use clap::{Args, ValueEnum};

use crate::cli::Context;
use crate::cli::day::ReadingArgs;
use crate::grammar;
use propagule_app::{BenchRequest, NewTrial};
use propagule_bench::Relation;
use propagule_bench::doing::Doing;
use propagule_files::fault::Fault;

/// What is done, before what is wrong with it.
const WHAT: Doing = Doing::SettingUp;
#[derive(Debug, Args)]
pub(crate) struct NewArgs {
    code: String,
    species: String,
    #[arg(long)]
    question: Option<String>,
    #[arg(long, value_name = "DAY")]
    on: Option<String>,
    #[command(flatten)]
    reading: ReadingArgs,
    #[arg(short, long, value_name = "DETAILS", default_value = "", hide_default_value = true)]
    method: String,
    #[arg(short, long = "treatment", value_name = "TREATMENT")]
    treatments: Vec<String>,
    #[arg(long)]
    pots: Option<u16>,
    #[arg(long, value_name = "N", conflicts_with = "count")]
    per_pot: Option<u16>,
    #[arg(short = 'n', long, value_name = "N", conflicts_with_all = ["pots", "shared_pots"])]
    count: Option<u16>,
    #[arg(long, value_name = "POTSxPLACES", conflicts_with = "pots")]
    shared_pots: Option<String>,
    #[arg(long)]
    stock_plants: Option<u16>,
    #[arg(long = "for", value_name = "GROWER")]
    entered_for: Option<String>,
    #[arg(long)]
    site: Option<String>,
    #[arg(long, value_name = "DAY")]
    lift_on: Option<String>,
    #[arg(long, value_name = "TRIAL", group = "follows")]
    replaces: Option<String>,
    #[arg(long, value_name = "TRIAL", group = "follows")]
    regraft_of: Option<String>,
    #[arg(long, value_name = "TRIAL", group = "follows")]
    repeats: Option<String>,
    #[arg(long, value_name = "TRIAL", group = "follows", hide = true)]
    parent: Option<String>,
    #[arg(long = "as", value_name = "WORD", requires = "parent", value_enum, hide = true)]
    relation: Option<RelationArg>,
    #[arg(long, value_name = "TRIAL", hide = true)]
    like: Option<String>,
    #[arg(long, value_name = "TREATMENT")]
    control: Option<String>,
    #[arg(long, value_name = "WHO: POTS")]
    done_by: Vec<String>,
    #[arg(long)]
    single_pieces: bool,
    #[arg(long, value_name = "TEST")]
    rooted_means: Option<String>,
    #[arg(long, value_name = "STANDARD")]
    finished_means: Option<String>,
    #[arg(long)]
    note: Option<String>,
    #[arg(long)]
    dry_run: bool,
    #[arg(long)]
    yes: bool,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum RelationArg {
    Replaces,
    Regraft,
    Repeat,
}

impl From<RelationArg> for Relation {
    fn from(relation: RelationArg) -> Self {
        match relation {
            RelationArg::Replaces => Self::Replaces,
            RelationArg::Regraft => Self::Regraft,
            RelationArg::Repeat => Self::Repeat,
        }
    }
}

#[derive(Debug, Args)]
pub(crate) struct CopyArgs {
    old: String,
    new: Option<String>,
    #[arg(long, value_name = "DAY")]
    on: Option<String>,
    #[command(flatten)]
    reading: ReadingArgs,
    #[arg(long)]
    dry_run: bool,
}

pub(super) fn copy(context: &Context, args: CopyArgs) -> Result<BenchRequest, Fault> {
    let on = match &args.on {
        Some(text) => args.reading.day(context, "--on", text)?,
        None => context.clock.today_date().into(),
    };
    Ok(BenchRequest::Copy { old: args.old, new: args.new, on, dry_run: args.dry_run })
}

pub(super) fn request(context: &Context, args: NewArgs) -> Result<BenchRequest, Fault> {
    let on = match &args.on {
        Some(text) => args.reading.day(context, "--on", text)?,
        None => context.clock.today_date().into(),
    };
    let lift_on =
        args.lift_on.as_deref().map(|text| args.reading.day(context, "--lift-on", text)).transpose()?;
    let follows = [
        (args.replaces, Some(Relation::Replaces)),
        (args.regraft_of, Some(Relation::Regraft)),
        (args.repeats, Some(Relation::Repeat)),
        (args.parent, args.relation.map(Relation::from)),
    ];
    let (parent, relation) = follows.into_iter().find(|(trial, _)| trial.is_some()).unwrap_or_default();
    let hearing = context.hearing(WHAT);
    let shared_pots = args.shared_pots.as_deref().map(shared).transpose()?;
    let arms =
        args.treatments.iter().map(|text| grammar::arm::arm(hearing, text)).collect::<Result<_, _>>()?;
    let done_by = args.done_by.iter().map(|text| grammar::pots::done_by(WHAT, text));
    let done_by = done_by.collect::<Result<_, _>>()?;
    Ok(BenchRequest::New(NewTrial {
        question: args.question,
        common: grammar::arm::facts(hearing, &args.method)?,
        arms,
        pots: args.pots,
        pieces: args.per_pot.or(args.count),
        shared_pots,
        stock_plants: args.stock_plants,
        entered_for: args.entered_for,
        place: args.site,
        lift_on,
        parent,
        relation,
        like: args.like,
        control: args.control,
        done_by,
        is_single_pieces: args.single_pieces,
        rooted_rule: args.rooted_means,
        grade: args.finished_means,
        note: args.note,
        dry_run: args.dry_run,
        yes: args.yes,
        ..NewTrial::lot(&args.code, &args.species, on)
    }))
}

fn shared(text: &str) -> Result<(u16, u16), Fault> {
    let parts = text.split_once(['x', 'X', '\u{d7}']);
    let numbers =
        parts.and_then(|(pots, places)| Some((pots.trim().parse().ok()?, places.trim().parse().ok()?)));
    numbers.ok_or_else(|| Fault::usage("shared-pots-malformed").with("text", text))
}

#[cfg(test)]
mod tests {
    use propagule_present::help::TREATMENTS;
    use propagule_protocol::Facet;

    #[test]
    fn the_help_names_every_facet() {
        let help = TREATMENTS.replace('\n', " ");
        for facet in Facet::ALL {
            let mut names = [facet.name()].into_iter().chain(facet.also_called().iter().copied());
            assert!(names.any(|name| help.contains(&format!(" {}", name.replace('_', " ")))), "{facet:?}");
        }
    }
}
