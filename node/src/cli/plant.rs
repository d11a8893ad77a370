//! `propagule plant`

use clap::Args;

use super::{Context, ask};
use propagule_app::Request;
use propagule_files::fault::Fault;

/// What is known of a plant's name, and which names you take for one species
///
/// Examples:
///   propagule plant 'black mulberry'
///   propagule plant 'Rosmarinus officinalis' --same-as 'Salvia rosmarinus'
///   propagule plant 'Rosmarinus officinalis' --apart
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct PlantArgs {
    /// Scientific or common name; without it, all names that you take for another one
    name: Option<String>,
    /// Count what is recorded under the name with this species, on this computer only
    #[arg(long, value_name = "SPECIES", requires = "name")]
    same_as: Option<String>,
    /// Count it by itself again
    #[arg(long, requires = "name", conflicts_with = "same_as")]
    apart: bool,
}

pub(super) async fn cmd_plant(context: &Context, args: PlantArgs) -> Result<(), Fault> {
    let request = match (args.name, args.same_as) {
        (None, _) => Request::Synonyms,
        (Some(name), Some(accepted)) => Request::PlantSame { name, accepted },
        (Some(name), None) if args.apart => Request::PlantApart { name },
        (Some(name), None) => Request::PlantShow { name },
    };
    ask::show(context, request).await
}
