//! `propagule names`

use clap::Args;

use super::{Context, ask};
use propagule_app::Request;
use propagule_files::fault::Fault;

#[derive(Debug, Args)]
pub(crate) struct NamesArgs {
    name: Option<String>,
    #[arg(long, value_name = "SPECIES", requires = "name")]
    same_as: Option<String>,
    #[arg(long, requires = "name", conflicts_with = "same_as")]
    apart: bool,
}

pub(super) async fn cmd_names(context: &Context, args: NamesArgs) -> Result<(), Fault> {
    let request = match (args.name, args.same_as) {
        (None, _) => Request::Synonyms,
        (Some(name), Some(accepted)) => Request::PlantSame { name, accepted },
        (Some(name), None) if args.apart => Request::PlantApart { name },
        (Some(name), None) => Request::PlantShow { name },
    };
    ask::show(context, request).await
}
