//! `propagule stock`: where cuttings come from.

use clap::Args;

use super::{Context, ask};
use crate::grammar;
use propagule_app::{BenchRequest, Request};
use propagule_bench::doing::Doing;
use propagule_bench::stock::OF_STOCK;
use propagule_files::fault::Fault;

#[derive(Debug, Args)]
pub(crate) struct StockArgs {
    name: Option<String>,
    #[arg(long, requires = "name")]
    species: Option<String>,
    #[arg(long, value_name = "DETAILS", default_value = "", hide_default_value = true)]
    about: String,
    #[arg(long, requires = "name")]
    note: Option<String>,
    #[arg(long)]
    yes: bool,
}

pub(super) async fn cmd_stock(context: &Context, args: StockArgs) -> Result<(), Fault> {
    ask::show(context, Request::Bench(Box::new(stock(context, args)?))).await
}

/// What is asked for.
pub(super) fn stock(context: &Context, args: StockArgs) -> Result<BenchRequest, Fault> {
    Ok(match args.name {
        Some(name) => BenchRequest::StockSet {
            name,
            species: args.species,
            facets: grammar::arm::facets(context.hearing(Doing::Stock), &args.about, &OF_STOCK)?,
            note: args.note,
            yes: args.yes,
        },
        None => BenchRequest::StockShow,
    })
}
