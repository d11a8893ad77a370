//! `propagule peers`

use clap::{Args, Subcommand};

use super::{Context, ask};
use crate::app::Request;
use crate::error::Failure;

/// Other growers' nodes: add one, invite one, see how the exchange goes
///
/// Examples:
///   propagule peers list
///   propagule peers invite
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct PeersArgs {
    #[command(subcommand)]
    command: PeersCommand,
}

#[derive(Debug, Subcommand)]
enum PeersCommand {
    /// Add a peer by its address or by an invite
    ///
    /// Examples:
    ///   propagule peers add /ip4/192.0.2.7/tcp/48620/p2p/ID
    ///   propagule peers add "propagule-invite/1,propagule,/ip4/192.0.2.7/tcp/48620/p2p/ID"
    #[command(verbatim_doc_comment)]
    Add {
        /// Address or invite
        address: String,
    },
    /// Print an invite for another grower; the node must be running
    ///
    /// Examples:
    ///   propagule peers invite
    ///   propagule peers invite --json
    #[command(verbatim_doc_comment)]
    Invite,
    /// Show connected peers, records held, and what was refused
    ///
    /// Examples:
    ///   propagule peers list
    ///   propagule peers list --json
    #[command(verbatim_doc_comment)]
    List,
}

pub(super) async fn cmd_peers(context: &Context, args: PeersArgs) -> Result<(), Failure> {
    let request = match args.command {
        PeersCommand::Add { address } => Request::PeersAdd { address },
        PeersCommand::Invite => Request::PeersInvite,
        PeersCommand::List => Request::PeersList,
    };
    ask::show(context, request).await
}
