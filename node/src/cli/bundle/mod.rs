//! `propagule bundle`

mod reading;
mod writing;

use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};
use propagule_protocol::{Month, NetworkId};

use super::{Context, ask};
use propagule_app::{Reply, Request};
use propagule_files::fault::Fault;
use propagule_network::bundle::BundleError;
use propagule_network::store::MonthRow;

#[derive(Debug, Args)]
pub(crate) struct BundleArgs {
    #[command(subcommand)]
    command: BundleCommand,
}

#[derive(Debug, Subcommand)]
enum BundleCommand {
    Export {
        file: PathBuf,
        #[arg(long, value_name = "YYYY-MM")]
        since: Option<Month>,
        #[arg(long, value_name = "REQUEST")]
        missing_for: Option<PathBuf>,
    },
    Request {
        file: PathBuf,
    },
    Import {
        file: PathBuf,
        #[arg(long)]
        as_known: bool,
    },
}

pub(super) async fn cmd_bundle(context: &Context, args: BundleArgs) -> Result<(), Fault> {
    match args.command {
        BundleCommand::Export { file, since, missing_for } => {
            writing::out(context, &file, since.unwrap_or(Month(0)), missing_for.as_deref()).await
        }
        BundleCommand::Request { file } => writing::request(context, &file).await,
        BundleCommand::Import { file, as_known } => reading::take(context, &file, as_known).await,
    }
}

async fn network(context: &Context) -> Result<NetworkId, Fault> {
    match ask::ask(context, Request::NetworkId).await? {
        Reply::NetworkId(network) => Ok(network),
        _ => Err(ask::unexpected()),
    }
}

async fn months(context: &Context) -> Result<Vec<MonthRow>, Fault> {
    match ask::ask(context, Request::Months).await? {
        Reply::Months(rows) => Ok(rows),
        _ => Err(ask::unexpected()),
    }
}

fn broken(path: &Path, error: &BundleError) -> Fault {
    let hint = match error {
        BundleError::OtherNetwork => "use-home-of-that-network",
        BundleError::NotABundle => "how-a-bundle-is-made",
        BundleError::NotARequest => "how-a-request-is-made",
        BundleError::TooLarge => "take-it-in-parts",
        BundleError::Io(_) => "look-at-free-space",
        _ => "ask-for-the-file-again",
    };
    Fault::user("bundle-refused").with("path", path.display()).with("error", error).hint_named(hint)
}
