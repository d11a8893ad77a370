//! `propagule trial`

mod close;
mod edit;
mod import;
mod layout;
mod new;

use clap::{Args, Subcommand};

use super::{Context, ask};
use propagule_app::{BenchRequest, Request};
use propagule_files::fault::Fault;

#[derive(Debug, Args)]
pub(crate) struct TrialArgs {
    #[command(subcommand)]
    command: TrialCommand,
}

#[derive(Debug, Subcommand)]
enum TrialCommand {
    New(Box<new::NewArgs>),
    Copy(new::CopyArgs),
    Import(Box<import::ImportArgs>),
    List {
        words: Vec<String>,
    },
    Show {
        trial: String,
        #[arg(long)]
        detail: bool,
    },
    History {
        trial: String,
    },
    Edit(Box<edit::EditArgs>),
    Close(close::CloseArgs),
    Reopen(close::ReopenArgs),
    Private(close::PrivateArgs),
    Pots(super::pots::PotsArgs),
    Layout(layout::LayoutArgs),
}

/// What setting up or correcting a trial asks for.
#[cfg(test)]
pub(super) fn described(context: &Context, args: TrialArgs) -> Option<Result<BenchRequest, Fault>> {
    match args.command {
        TrialCommand::New(args) => Some(new::request(context, *args)),
        TrialCommand::Edit(args) => Some(edit::request(context, *args)),
        _ => None,
    }
}

pub(super) async fn cmd_trial(context: &Context, args: TrialArgs) -> Result<(), Fault> {
    let bench = |request| Request::Bench(Box::new(request));
    let request = match args.command {
        TrialCommand::New(args) => bench(new::request(context, *args)?),
        TrialCommand::Copy(args) => bench(new::copy(context, args)?),
        TrialCommand::Import(args) => return import::cmd_import(context, *args).await,
        TrialCommand::List { words } => Request::TrialList { words: words.join(" ") },
        TrialCommand::Show { trial, detail } => Request::TrialShow { trial, detail },
        TrialCommand::History { trial } => bench(BenchRequest::History { trial }),
        TrialCommand::Edit(args) => bench(edit::request(context, *args)?),
        TrialCommand::Pots(args) => return super::pots::cmd_pots(context, args).await,
        TrialCommand::Close(args) => return close::cmd_close(context, args).await,
        TrialCommand::Reopen(args) => bench(close::reopen(args)),
        TrialCommand::Private(args) => bench(close::private(args)),
        TrialCommand::Layout(args) => bench(layout::layout(args)),
    };
    ask::show(context, request).await
}
