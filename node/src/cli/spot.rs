//! `propagule spot`, `care`, `stock`: where lots stand, and where they come from.

use clap::Args;

use super::day::EntryArgs;
use super::{Context, ask};
use crate::grammar;
use propagule_app::{BenchRequest, Request};
use propagule_bench::spot::{Care, OF_SPOT};
use propagule_bench::stock::OF_STOCK;
use propagule_files::fault::Fault;

/// Describe a bench, bed, frame or house, or show it with all that stands there
///
/// Examples:
///   propagule spot 'mist house' --with 'growing place=glass; watering=kept moist'
///   propagule spot 'mist house' --lots N01,N02 --on 2026-06-05
///   propagule spot
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct SpotArgs {
    /// Your own name for it
    name: Option<String>,
    /// What lots take from it: growing place, humidity, light, bottom heat, watering
    #[arg(long, value_name = "FACETS", requires = "name")]
    with: Option<String>,
    /// Trials that stand on it from a day on, or `all`
    #[arg(
        long,
        value_name = "CODE,CODE…",
        value_delimiter = ',',
        requires = "name",
        conflicts_with = "with"
    )]
    lots: Vec<String>,
    #[command(flatten)]
    entry: EntryArgs,
}

pub(super) async fn cmd_spot(context: &Context, args: SpotArgs) -> Result<(), Fault> {
    ask::show(context, Request::Bench(Box::new(spot(context, args)?))).await
}

/// What is asked for.
pub(super) fn spot(context: &Context, args: SpotArgs) -> Result<BenchRequest, Fault> {
    Ok(match (args.name, args.with) {
        (Some(spot), None) if !args.lots.is_empty() => {
            BenchRequest::Stand { spot, lots: args.lots, common: args.entry.common(context)? }
        }
        (Some(name), Some(with)) => {
            BenchRequest::SpotSet { name, facets: grammar::arm::facets("spot", &with, &OF_SPOT)? }
        }
        (name, _) => BenchRequest::SpotShow { name },
    })
}

/// Describe a stock plant, or show all of them
///
/// Examples:
///   propagule stock 'old hedge' --species 'Morus nigra' --with 'stock age=30 years; stock origin=grafted'
///   propagule stock
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct StockArgs {
    /// Your own name for it
    name: Option<String>,
    /// What plant it is
    #[arg(long, requires = "name")]
    species: Option<String>,
    /// stock age and stock origin
    #[arg(long, value_name = "FACETS", default_value = "")]
    with: String,
    /// Private note
    #[arg(long, requires = "name")]
    note: Option<String>,
    /// Take the plant name even where words of it are left out
    #[arg(long)]
    yes: bool,
}

pub(super) async fn cmd_stock(context: &Context, args: StockArgs) -> Result<(), Fault> {
    ask::show(context, Request::Bench(Box::new(stock(args)?))).await
}

/// What is asked for.
pub(super) fn stock(args: StockArgs) -> Result<BenchRequest, Fault> {
    Ok(match args.name {
        Some(name) => BenchRequest::StockSet {
            name,
            species: args.species,
            facets: grammar::arm::facets("stock", &args.with, &OF_STOCK)?,
            note: args.note,
            yes: args.yes,
        },
        None => BenchRequest::StockShow,
    })
}

/// Write down the care of a spot, once for everything that stands there
///
/// Examples:
///   propagule care 'mist house' --mist '8 s every 4 min 07:00-20:00' --on 2026-06-05
///   propagule care 'mist house' --shade '40 % blocked' --until 2026-09-01
///   propagule care 'mist house' --take-back 12
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
#[group(skip)]
pub(crate) struct CareArgs {
    /// The spot
    spot: String,
    #[command(flatten)]
    what: WhatArgs,
    /// Bottom heat as measured in the medium, °C (or 72F)
    #[arg(long, value_name = "TEMPERATURE")]
    measured: Option<String>,
    /// The last day of it
    #[arg(long, value_name = "DAY")]
    until: Option<String>,
    #[command(flatten)]
    entry: EntryArgs,
}

#[derive(Debug, Args)]
#[group(required = true, multiple = false)]
struct WhatArgs {
    /// Mist on a timer, such as '8 s every 4 min 07:00-20:00'
    #[arg(long, value_name = "TIMES")]
    mist: Option<String>,
    /// Shade, such as '40 % blocked' or '60 % let through'
    #[arg(long, value_name = "SHARE")]
    shade: Option<String>,
    /// Bottom heat as set, °C (or 72F)
    #[arg(long, value_name = "TEMPERATURE")]
    heat: Option<String>,
    /// Feed
    #[arg(long, value_name = "WORDS")]
    feed: Option<String>,
    /// Spray; follow its label
    #[arg(long, value_name = "WORDS")]
    spray: Option<String>,
    /// How the vents stand
    #[arg(long, value_name = "WORDS")]
    vents: Option<String>,
    /// Watering by hand, such as 'every 2 days'
    #[arg(long, value_name = "WORDS")]
    water: Option<String>,
    /// mist, light, heat, feed, spray, vents or water ended
    #[arg(long, value_name = "CARE")]
    end: Option<String>,
    /// An entry was wrong: its number, as `propagule spot` shows it
    #[arg(long, value_name = "ENTRY")]
    take_back: Option<u64>,
}

pub(super) async fn cmd_care(context: &Context, args: CareArgs) -> Result<(), Fault> {
    ask::show(context, Request::Bench(Box::new(care(context, args)?))).await
}

/// What is asked for.
pub(super) fn care(context: &Context, args: CareArgs) -> Result<BenchRequest, Fault> {
    if let Some(entry) = args.what.take_back {
        return Ok(BenchRequest::TakeBackCare { spot: args.spot, entry });
    }
    let common = args.entry.common(context)?;
    let until =
        args.until.as_deref().map(|text| args.entry.reading.day(context, "--until", text)).transpose()?;
    let care = typed(args.what, args.measured)?;
    Ok(BenchRequest::Care { spot: args.spot, care, until, common })
}

fn typed(what: WhatArgs, measured: Option<String>) -> Result<Care, Fault> {
    let WhatArgs { mist, shade, heat, feed, spray, vents, water, end, take_back: _ } = what;
    if let Some(what) = end {
        return Ok(Care::Ended { what: what.replace("shade", "light") });
    }
    let options = [
        ("mist", mist),
        ("shade", shade),
        ("heat", heat),
        ("feed", feed),
        ("spray", spray),
        ("vents", vents),
        ("water", water),
    ];
    let given = options.into_iter().find_map(|(kind, text)| Some((kind, text?)));
    let (kind, text) = given.expect("one of them is required");
    match (read(kind, &text)?, measured) {
        (Care::Heat { set, .. }, Some(text)) => {
            let Care::Heat { measured, .. } = read("measured", &text)? else { unreachable!("a temperature") };
            Ok(Care::Heat { set, measured })
        }
        (care, _) => Ok(care),
    }
}

/// Reads what was given with the option `--kind`.
fn read(kind: &str, text: &str) -> Result<Care, Fault> {
    grammar::care::read(kind, text).map_err(|why| {
        let ways = grammar::care::ways(kind).iter().map(|way| format!("--{kind} '{way}'"));
        Fault::user("care-option-malformed")
            .with("care", kind)
            .with("text", text)
            .with_data("why", &why)
            .with_data("ways", &ways.collect::<Vec<_>>())
    })
}
