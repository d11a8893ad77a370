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

/// Records in a file, to hand over without a connection
///
/// Examples:
///   propagule bundle out records.bundle
///   propagule bundle in records.bundle
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct BundleArgs {
    #[command(subcommand)]
    command: BundleCommand,
}

#[derive(Debug, Subcommand)]
enum BundleCommand {
    /// Write records that this home holds into a new file: all, since a month, or what another node lacks
    ///
    /// Examples:
    ///   propagule bundle out records.bundle
    ///   propagule bundle out new.bundle --since 2026-09
    ///   propagule bundle out for-ben.bundle --missing-for ben.request
    #[command(verbatim_doc_comment)]
    Out {
        /// The file to make; an existing one is never overwritten
        file: PathBuf,
        /// Only records signed in this month or later
        #[arg(long, value_name = "YYYY-MM")]
        since: Option<Month>,
        /// Only records that the node which wrote this request file does not have
        #[arg(long, value_name = "REQUEST")]
        missing_for: Option<PathBuf>,
    },
    /// Write down what this home has, so that another node can make a bundle of what it lacks
    ///
    /// Examples:
    ///   propagule bundle request ben.request
    ///   propagule bundle request ben.request --json
    #[command(verbatim_doc_comment)]
    Request {
        /// The file to make; an existing one is never overwritten
        file: PathBuf,
    },
    /// Take in the records of a bundle file; each is judged as if it came over the network
    ///
    /// Ctrl-C stops it: what is in by then stays, and the same command goes on later.
    ///
    /// Examples:
    ///   propagule bundle in records.bundle
    ///   propagule bundle in from-my-club.bundle --as-known
    #[command(verbatim_doc_comment)]
    In {
        /// The file
        file: PathBuf,
        /// You know where it is from: take its growers as known here from now on, as if for a month
        #[arg(long)]
        as_known: bool,
    },
}

pub(super) async fn cmd_bundle(context: &Context, args: BundleArgs) -> Result<(), Fault> {
    match args.command {
        BundleCommand::Out { file, since, missing_for } => {
            writing::out(context, &file, since.unwrap_or(Month(0)), missing_for.as_deref()).await
        }
        BundleCommand::Request { file } => writing::request(context, &file).await,
        BundleCommand::In { file, as_known } => reading::take(context, &file, as_known).await,
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
