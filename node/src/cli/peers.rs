//! `propagule peers`

use clap::{Args, Subcommand};
use fast_qr::{ECL, QRBuilder, QRCode};

use super::{Context, ask};
use propagule_app::Request;
use propagule_app::outcome::Outcome;
use propagule_files::fault::Fault;

#[derive(Debug, Args)]
pub(crate) struct PeersArgs {
    #[command(subcommand)]
    command: PeersCommand,
}

#[derive(Debug, Subcommand)]
enum PeersCommand {
    Add {
        address: String,
    },
    Invite {
        #[arg(long)]
        qr: bool,
    },
    Allow {
        #[arg(required_unless_present = "all")]
        node: Option<String>,
        #[arg(long = "as", value_name = "NAME", default_value = "")]
        name: String,
        #[arg(long, conflicts_with_all = ["node", "name"])]
        all: bool,
    },
    Disallow {
        node: String,
    },
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
