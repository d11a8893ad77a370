//! `propagule log`: mist, shade, heat, water, feed and sprays of a bench.

use clap::Args;

use super::day::EntryArgs;
use super::{Context, ask};
use crate::grammar;
use propagule_app::{BenchRequest, Request};
use propagule_bench::spot::Care;
use propagule_files::fault::Fault;

#[derive(Debug, Args)]
#[group(skip)]
pub(crate) struct LogArgs {
    bench: String,
    #[command(flatten)]
    what: WhatArgs,
    #[arg(long, value_name = "TEMPERATURE")]
    measured: Option<String>,
    #[arg(long, value_name = "DAY")]
    until: Option<String>,
    #[command(flatten)]
    entry: EntryArgs,
}

#[derive(Debug, Args)]
#[group(required = true, multiple = false)]
struct WhatArgs {
    #[arg(long, value_name = "TIMES")]
    mist: Option<String>,
    #[arg(long, value_name = "SHARE")]
    shade: Option<String>,
    #[arg(long, value_name = "TEMPERATURE")]
    heat: Option<String>,
    #[arg(long, value_name = "WORDS")]
    feed: Option<String>,
    #[arg(long, value_name = "WORDS")]
    spray: Option<String>,
    #[arg(long, value_name = "WORDS")]
    vents: Option<String>,
    #[arg(long, value_name = "WORDS")]
    water: Option<String>,
    #[arg(long, value_name = "WHAT")]
    end: Option<String>,
}

pub(super) async fn cmd_log(context: &Context, args: LogArgs) -> Result<(), Fault> {
    ask::show(context, Request::Bench(Box::new(log(context, args)?))).await
}

/// What is asked for.
pub(super) fn log(context: &Context, args: LogArgs) -> Result<BenchRequest, Fault> {
    let common = args.entry.common(context)?;
    let until =
        args.until.as_deref().map(|text| args.entry.reading.day(context, "--until", text)).transpose()?;
    let care = typed(args.what, args.measured)?;
    Ok(BenchRequest::Care { spot: args.bench, care, until, common })
}

fn typed(what: WhatArgs, measured: Option<String>) -> Result<Care, Fault> {
    let WhatArgs { mist, shade, heat, feed, spray, vents, water, end } = what;
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
