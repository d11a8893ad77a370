//! `propagule circle`

use clap::{Args, Subcommand};

use super::{Context, ask};
use propagule_app::{Change, CircleRequest, Request};
use propagule_files::fault::Fault;

/// Whose results you count first: growers you trust, and those they vouch for
///
/// Without a command it shows who is in your circle, why, with what weight, and your own key.
///
/// Examples:
///   propagule circle
///   propagule circle trust 3f9a1c22 --as "the nursery"
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct CircleArgs {
    #[command(subcommand)]
    command: Option<CircleCommand>,
}

#[derive(Debug, Subcommand)]
enum CircleCommand {
    /// Trust a grower at home: nothing is published
    ///
    /// Examples:
    ///   propagule circle trust 3f9a1c22 --as "the nursery"
    ///   propagule circle trust "the nursery"
    #[command(verbatim_doc_comment)]
    Trust(NamedGrower),
    /// No longer trust a grower at home
    ///
    /// Examples:
    ///   propagule circle untrust "the nursery"
    ///   propagule circle untrust 3f9a1c22
    #[command(verbatim_doc_comment)]
    Untrust(Grower),
    /// Vouch for a grower: a record that everybody can read
    ///
    /// Examples:
    ///   propagule circle vouch 3f9a1c22 --as "the nursery"
    ///   propagule circle vouch "the nursery" --yes
    #[command(verbatim_doc_comment)]
    Vouch {
        #[command(flatten)]
        grower: NamedGrower,
        /// You know that everybody can read it
        #[arg(long)]
        yes: bool,
        /// Send it at once: peers that watch closely can then guess that it came from here
        #[arg(long)]
        now: bool,
    },
    /// Take a vouch back, by another record
    ///
    /// Examples:
    ///   propagule circle unvouch "the nursery"
    ///   propagule circle unvouch 3f9a1c22 --now
    #[command(verbatim_doc_comment)]
    Unvouch {
        #[command(flatten)]
        grower: Grower,
        /// Send it at once: peers that watch closely can then guess that it came from here
        #[arg(long)]
        now: bool,
    },
    /// Do not count a grower's results at all, nor pass trust on through them
    ///
    /// Examples:
    ///   propagule circle mute 77aa01fe
    ///   propagule circle mute 77aa01fe --as "the far end"
    #[command(verbatim_doc_comment)]
    Mute(NamedGrower),
    /// Hear a grower again
    ///
    /// Examples:
    ///   propagule circle unmute 77aa01fe
    ///   propagule circle unmute "the far end"
    #[command(verbatim_doc_comment)]
    Unmute(Grower),
}

#[derive(Debug, Args)]
struct Grower {
    /// Their key, its first letters, or the name you gave
    grower: String,
}

#[derive(Debug, Args)]
struct NamedGrower {
    /// Their key, its first letters, or the name you gave
    grower: String,
    /// What to call them at home
    #[arg(long = "as", value_name = "NAME")]
    name: Option<String>,
}

pub(super) async fn cmd_circle(context: &Context, args: CircleArgs) -> Result<(), Fault> {
    let keep = |grower: NamedGrower, change| CircleRequest::Keep {
        grower: grower.grower,
        change,
        name: grower.name,
    };
    let plain = |grower: Grower, change| CircleRequest::Keep { grower: grower.grower, change, name: None };
    let request = match args.command {
        None => CircleRequest::Show,
        Some(CircleCommand::Trust(grower)) => keep(grower, Change::Trust),
        Some(CircleCommand::Untrust(grower)) => plain(grower, Change::Untrust),
        Some(CircleCommand::Mute(grower)) => keep(grower, Change::Mute),
        Some(CircleCommand::Unmute(grower)) => plain(grower, Change::Unmute),
        Some(CircleCommand::Unvouch { grower, now }) => {
            CircleRequest::Unvouch { grower: grower.grower, at_once: now }
        }
        Some(CircleCommand::Vouch { grower, yes, now }) => return vouch(context, grower, yes, now).await,
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
