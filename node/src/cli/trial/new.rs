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
/// What an arm is written like.
const ARMS: &str = "An arm is 'LABEL: key=value; key=value', with
  kind, wood, form, medium, auxin, solvent, wound, leaves, humidity, bottom heat, container, growing place,
  rootstock, stratification, bbch, stock origin, stock age, watering, tip nodes removed, flower buds, light,
  cultivar, scarified          the method, as far as you know it
  pots, pieces                 how many pots, and pieces in each
  stock, operator, spot        where its pieces come from, who does the work, where it stands
  differs                      what is different that none of these says
Words that hold a semicolon stand in double quotes: 'A: medium=\"peat; perlite\"'";

/// Set up a trial, or a lot without a question; says what that size can show before anything is put in
///
/// Examples:
///   propagule trial new M1 'Morus nigra' --with 'kind=stem cutting; wood=semi-ripe; humidity=dome' \
///     --arm 'dip: auxin=IBA 3000 mg/L quick dip' --arm 'none: auxin=none' --pots 3 --pieces 4
///   propagule trial new N1 'Ribes nigrum' --pieces 30 --with 'kind=stem cutting; wood=hardwood'
#[derive(Debug, Args)]
#[command(verbatim_doc_comment, after_long_help = ARMS)]
pub(crate) struct NewArgs {
    /// Your own code for it, short enough for a tag
    code: String,
    /// The plant
    species: String,
    /// What it is to show; a lot has none
    #[arg(long)]
    question: Option<String>,
    /// The day it is to be put in [default: today]
    #[arg(long, value_name = "DAY")]
    on: Option<String>,
    #[command(flatten)]
    reading: ReadingArgs,
    /// What is the same for all arms, such as 'kind=stem cutting; wood=softwood'
    #[arg(long, value_name = "FACETS", default_value = "")]
    with: String,
    /// An arm, such as 'A: auxin=none'; none is one lot
    #[arg(long = "arm", value_name = "ARM")]
    arms: Vec<String>,
    /// Pots of each arm
    #[arg(long)]
    pots: Option<u16>,
    /// Pieces in each pot, or of each arm without pots
    #[arg(long)]
    pieces: Option<u16>,
    /// Pots, or stock plants, that hold pieces of every arm: 16x3 is 16 of them with 3 places each
    #[arg(long, value_name = "POTSxPLACES", conflicts_with = "pots")]
    shared_pots: Option<String>,
    /// Number of stock plants
    #[arg(long)]
    stock_plants: Option<u16>,
    /// The grower it is entered for, if not yourself: the name stays at home, records carry a random mark
    #[arg(long = "for", value_name = "GROWER")]
    entered_for: Option<String>,
    /// The place it belongs to
    #[arg(long)]
    place: Option<String>,
    /// Lift day, set in advance for all arms
    #[arg(long, value_name = "DAY")]
    lift: Option<String>,
    /// The trial whose failed pieces these fresh ones replace
    #[arg(long, value_name = "TRIAL", group = "follows")]
    replaces: Option<String>,
    /// The trial whose stocks are worked again
    #[arg(long, value_name = "TRIAL", group = "follows")]
    regraft_of: Option<String>,
    /// The trial that is done again in another season
    #[arg(long, value_name = "TRIAL", group = "follows")]
    repeats: Option<String>,
    #[arg(long, value_name = "TRIAL", group = "follows", hide = true)]
    parent: Option<String>,
    #[arg(long = "as", value_name = "WORD", requires = "parent", value_enum, hide = true)]
    relation: Option<RelationArg>,
    /// A trial to take arms, pots, pieces, place, grade and rule from, where nothing else is said
    #[arg(long, value_name = "TRIAL")]
    like: Option<String>,
    /// The arm that the others are held against [default: the only one that went without]
    #[arg(long, value_name = "ARM")]
    control: Option<String>,
    /// Who did which pots, such as 'R: P1,P2'; it stays at home
    #[arg(long, value_name = "WHO: POTS")]
    done_by: Vec<String>,
    /// Each piece is placed by itself, such as grafts each on a stock of its own
    #[arg(long)]
    single_pieces: bool,
    /// Your rule for rooted, where roots are not seen, such as 'resists a gentle tug'
    #[arg(long, value_name = "RULE")]
    rooted_rule: Option<String>,
    /// Your own grade of a finished plant
    #[arg(long)]
    grade: Option<String>,
    /// Private note
    #[arg(long)]
    note: Option<String>,
    /// Only say what that size can show
    #[arg(long)]
    dry_run: bool,
    /// Take the plant name even where words of it are left out
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

/// Set up a trial again as an earlier one was: the same question in another season
///
/// Examples:
///   propagule trial copy M1
///   propagule trial copy M1 M7 --on 2027-06-05
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct CopyArgs {
    /// Code of the earlier one
    old: String,
    /// Code of the new one [default: the next of its series]
    new: Option<String>,
    /// The day it is to be put in [default: today]
    #[arg(long, value_name = "DAY")]
    on: Option<String>,
    #[command(flatten)]
    reading: ReadingArgs,
    /// Only say what it would be
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
    let lift_on = args.lift.as_deref().map(|text| args.reading.day(context, "--lift", text)).transpose()?;
    let follows = [
        (args.replaces, Some(Relation::Replaces)),
        (args.regraft_of, Some(Relation::Regraft)),
        (args.repeats, Some(Relation::Repeat)),
        (args.parent, args.relation.map(Relation::from)),
    ];
    let (parent, relation) = follows.into_iter().find(|(trial, _)| trial.is_some()).unwrap_or_default();
    let shared_pots = args.shared_pots.as_deref().map(shared).transpose()?;
    let arms = args.arms.iter().map(|text| grammar::arm::arm(WHAT, text)).collect::<Result<_, _>>()?;
    let done_by = args.done_by.iter().map(|text| grammar::pots::done_by(WHAT, text));
    let done_by = done_by.collect::<Result<_, _>>()?;
    Ok(BenchRequest::New(NewTrial {
        question: args.question,
        common: grammar::arm::facts(WHAT, &args.with)?,
        arms,
        pots: args.pots,
        pieces: args.pieces,
        shared_pots,
        stock_plants: args.stock_plants,
        entered_for: args.entered_for,
        place: args.place,
        lift_on,
        parent,
        relation,
        like: args.like,
        control: args.control,
        done_by,
        is_single_pieces: args.single_pieces,
        rooted_rule: args.rooted_rule,
        grade: args.grade,
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
    use propagule_protocol::Facet;

    #[test]
    fn the_help_names_every_facet() {
        let help = super::ARMS.replace('\n', " ");
        for facet in Facet::ALL {
            let name = facet.name().replace('_', " ");
            assert!(help.contains(&format!(" {name}")), "{name}");
        }
    }
}
