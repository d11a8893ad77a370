//! `propagule peers`

use clap::{Args, Subcommand};
use fast_qr::{ECL, QRBuilder, QRCode};

use super::{Context, ask};
use propagule_app::Request;
use propagule_app::outcome::Outcome;
use propagule_files::fault::Fault;

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
    ///   propagule peers invite --qr
    #[command(verbatim_doc_comment)]
    Invite {
        /// Show it as a QR code too, for the camera of a machine beside this one
        #[arg(long)]
        qr: bool,
    },
    /// Let a node connect; from the first on, only nodes on this list may
    ///
    /// Examples:
    ///   propagule peers allow 12D3KooWK99VoVxNE7XzyBwXEzW7xhK7Gpv85r9F3V3fyKSUKPH5 --as "a friend"
    ///   propagule peers allow --all
    #[command(verbatim_doc_comment)]
    Allow {
        /// Id of the node, an address of it, or its invite
        #[arg(required_unless_present = "all")]
        node: Option<String>,
        /// Whose node it is, for your own eyes
        #[arg(long = "as", value_name = "NAME", default_value = "")]
        name: String,
        /// Do without the list: every node of the network may connect
        #[arg(long, conflicts_with_all = ["node", "name"])]
        all: bool,
    },
    /// Take a node off that list; the list stays, even when nobody is left on it
    ///
    /// Examples:
    ///   propagule peers disallow 12D3KooWK99VoVxNE7XzyBwXEzW7xhK7Gpv85r9F3V3fyKSUKPH5
    ///   propagule peers disallow /ip4/192.0.2.7/tcp/48620/p2p/12D3KooWK99VoVxNE7XzyBwXEzW7xhK7Gpv85r9F3V3fyKSUKPH5
    #[command(verbatim_doc_comment)]
    Disallow {
        /// Id of the node, an address of it, or its invite
        node: String,
    },
    /// Show connected peers, records held, and what was refused
    ///
    /// Examples:
    ///   propagule peers list
    ///   propagule peers list --json
    #[command(verbatim_doc_comment)]
    List,
}

pub(super) async fn cmd_peers(context: &Context, args: PeersArgs) -> Result<(), Fault> {
    let request = match args.command {
        PeersCommand::Add { address } => Request::PeersAdd { address },
        PeersCommand::Invite { qr: true } => return invite_with_code(context).await,
        PeersCommand::Invite { qr: false } => Request::PeersInvite,
        PeersCommand::Allow { node: Some(node), name, .. } => Request::PeersAllow { node, name },
        PeersCommand::Allow { node: None, .. } => Request::PeersAllowAll,
        PeersCommand::Disallow { node } => Request::PeersDisallow { node },
        PeersCommand::List => Request::PeersList,
    };
    ask::show(context, request).await
}

/// The invite, with its QR code behind it unless JSON was asked for.
async fn invite_with_code(context: &Context) -> Result<(), Fault> {
    let outcome = ask::done(context, Request::PeersInvite).await?;
    let Outcome::Invite(invite) = &outcome else { return Err(ask::unexpected()) };
    let code = QRBuilder::new(invite.invite.as_str()).ecl(ECL::L).build();
    let code = code.map_err(|e| Fault::environment("invite-too-long-for-code").because(e))?;
    ask::show_outcome(context, &outcome)?;
    // Never broken at spaces, as words are: they are squares here.
    if context.ui.json { Ok(()) } else { context.ui.out(&squares(&code)) }
}

/// Squares of a code, two to a character: light ones are drawn, so that it reads on a dark terminal, with the four
/// light ones around that a camera needs.
fn squares(code: &QRCode) -> String {
    const AROUND: usize = 4;
    let side = code.size + 2 * AROUND;
    let is_light = |row: usize, column: usize| {
        let inside = AROUND..AROUND + code.size;
        let is_dark = || code[row - AROUND][column - AROUND].value();
        row < side && !(inside.contains(&row) && inside.contains(&column) && is_dark())
    };
    let mut text = String::new();
    for row in (0..side).step_by(2) {
        text.extend((0..side).map(|column| match (is_light(row, column), is_light(row + 1, column)) {
            (true, true) => '█',
            (true, false) => '▀',
            (false, true) => '▄',
            (false, false) => ' ',
        }));
        text.push('\n');
    }
    text
}
