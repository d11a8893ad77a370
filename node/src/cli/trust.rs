//! `propagule trust`

use clap::{Args, Subcommand};

use super::{Context, ask};
use propagule_app::{Change, CircleRequest, Request};
use propagule_files::fault::Fault;

#[derive(Debug, Args)]
pub(crate) struct TrustArgs {
    #[command(subcommand)]
    command: Option<TrustCommand>,
}

#[derive(Debug, Subcommand)]
enum TrustCommand {
    Add(NamedGrower),
    Remove(Grower),
    Vouch {
        #[command(flatten)]
        grower: NamedGrower,
        #[arg(long)]
        yes: bool,
        #[arg(long)]
        now: bool,
    },
    Unvouch {
        #[command(flatten)]
        grower: Grower,
        #[arg(long)]
        now: bool,
    },
    Mute(NamedGrower),
    Unmute(Grower),
}

#[derive(Debug, Args)]
struct Grower {
    grower: String,
}

#[derive(Debug, Args)]
struct NamedGrower {
    grower: String,
    #[arg(long = "as", value_name = "NAME")]
    name: Option<String>,
}

pub(super) async fn cmd_trust(context: &Context, args: TrustArgs) -> Result<(), Fault> {
    let keep = |grower: NamedGrower, change| CircleRequest::Keep {
        grower: grower.grower,
        change,
        name: grower.name,
    };
    let plain = |grower: Grower, change| CircleRequest::Keep { grower: grower.grower, change, name: None };
    let request = match args.command {
        None => CircleRequest::Show,
        Some(TrustCommand::Add(grower)) => keep(grower, Change::Trust),
        Some(TrustCommand::Remove(grower)) => plain(grower, Change::Untrust),
        Some(TrustCommand::Mute(grower)) => keep(grower, Change::Mute),
        Some(TrustCommand::Unmute(grower)) => plain(grower, Change::Unmute),
        Some(TrustCommand::Unvouch { grower, now }) => {
            CircleRequest::Unvouch { grower: grower.grower, at_once: now }
        }
        Some(TrustCommand::Vouch { grower, yes, now }) => return vouch(context, grower, yes, now).await,
    };
    ask::show(context, Request::Circle(request)).await
}

async fn vouch(context: &Context, grower: NamedGrower, yes: bool, at_once: bool) -> Result<(), Fault> {
    let NamedGrower { grower, name } = grower;
    let request = |confirmed| {
        Request::Circle(CircleRequest::Vouch {
            grower: grower.clone(),
            name: name.clone(),
            confirmed,
            at_once,
        })
    };
    let no = Fault::user("vouch-needs-yes").with("grower", &grower);
    let question = ask::Question { words: "Publish the vouch?", no };
    ask::with_a_yes(context, yes, request, question).await.map(drop)
}
