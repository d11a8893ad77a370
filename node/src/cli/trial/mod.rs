//! `propagule trial`

mod close;
mod correct;
mod import;
mod new;
mod paper;

use clap::{Args, Subcommand};

use super::{Context, ask};
use propagule_app::{BenchRequest, Request};
use propagule_files::fault::Fault;

/// Trials of your bench: set one up, bring in last year's, look at them, print, correct
///
/// Examples:
///   propagule trial new N1 "Ribes nigrum" --pieces 30
///   propagule trial list
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct TrialArgs {
    #[command(subcommand)]
    command: TrialCommand,
}

#[derive(Debug, Subcommand)]
enum TrialCommand {
    New(Box<new::NewArgs>),
    Copy(new::CopyArgs),
    Import(Box<import::ImportArgs>),
    /// List your trials
    ///
    /// Examples:
    ///   propagule trial list
    ///   propagule trial list --json
    #[command(verbatim_doc_comment)]
    List,
    /// Show one trial: its method, its counts, and what they show
    ///
    /// Examples:
    ///   propagule trial show M1
    ///   propagule trial show M1 --detail
    #[command(verbatim_doc_comment)]
    Show {
        /// Its code
        trial: String,
        /// Differences between pots, curves over time, tests as if every piece were independent
        #[arg(long)]
        detail: bool,
    },
    /// Everything that was entered for a trial, with its corrections
    ///
    /// Examples:
    ///   propagule trial history M1
    ///   propagule trial history M1 --json
    #[command(verbatim_doc_comment)]
    History {
        /// Its code
        trial: String,
    },
    Correct(Box<correct::CorrectArgs>),
    Close(close::CloseArgs),
    Reopen(close::ReopenArgs),
    Private(close::PrivateArgs),
    /// Show what each pot of a trial holds and when it was last looked at, in the order in which counts are typed
    ///
    /// Examples:
    ///   propagule trial pots M1
    ///   propagule trial pots M1 --on 2026-08-03
    #[command(verbatim_doc_comment)]
    Pots(super::pots::PotsArgs),
    Layout(paper::LayoutArgs),
    Labels(paper::PageArgs),
    Sheet(paper::PageArgs),
    Report(paper::PageArgs),
    /// Hide a caution for the rest of this season
    ///
    /// Examples:
    ///   propagule trial caution mist-water --hide
    ///   propagule trial caution heat --hide
    #[command(verbatim_doc_comment)]
    Caution {
        /// Its name, as it stands in brackets
        name: String,
        /// Hide it
        #[arg(long, required = true)]
        hide: bool,
    },
}

/// What setting up or correcting a trial asks for.
#[cfg(test)]
pub(super) fn described(context: &Context, args: TrialArgs) -> Option<Result<BenchRequest, Fault>> {
    match args.command {
        TrialCommand::New(args) => Some(new::request(context, *args)),
        TrialCommand::Correct(args) => Some(correct::request(context, *args)),
        _ => None,
    }
}

pub(super) async fn cmd_trial(context: &Context, args: TrialArgs) -> Result<(), Fault> {
    let bench = |request| Request::Bench(Box::new(request));
    let request = match args.command {
        TrialCommand::New(args) => bench(new::request(context, *args)?),
        TrialCommand::Copy(args) => bench(new::copy(context, args)?),
        TrialCommand::Import(args) => return import::cmd_import(context, *args).await,
        TrialCommand::List => Request::TrialList,
        TrialCommand::Show { trial, detail } => Request::TrialShow { trial, detail },
        TrialCommand::History { trial } => bench(BenchRequest::History { trial }),
        TrialCommand::Correct(args) => return correct::cmd_correct(context, *args).await,
        TrialCommand::Pots(args) => return super::pots::cmd_pots(context, args).await,
        TrialCommand::Close(args) => return close::cmd_close(context, args).await,
        TrialCommand::Reopen(args) => bench(close::reopen(args)),
        TrialCommand::Private(args) => bench(close::private(args)),
        TrialCommand::Layout(args) => bench(paper::layout(args)),
        TrialCommand::Labels(args) => {
            return paper::page(context, args, propagule_app::PaperKind::Labels).await;
        }
        TrialCommand::Sheet(args) => {
            return paper::page(context, args, propagule_app::PaperKind::ScoreSheet).await;
        }
        TrialCommand::Report(args) => {
            return paper::page(context, args, propagule_app::PaperKind::Report).await;
        }
        TrialCommand::Caution { name, .. } => bench(BenchRequest::Dismiss { caution: name }),
    };
    ask::show(context, request).await
}
