//! `propagule settings`

use clap::{Args, Subcommand, ValueEnum};

use super::{Context, ask};
use propagule_app::{BenchRequest, Request};
use propagule_files::fault::Fault;

/// Show the choices of this home that go with its record, or make one
///
/// Examples:
///   propagule settings
///   propagule settings publishing off
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct SettingsArgs {
    #[command(subcommand)]
    choice: Option<Choice>,
}

#[derive(Debug, Subcommand)]
enum Choice {
    /// Whether results of this home are to be published: off refuses it, on reminds you of it
    ///
    /// Examples:
    ///   propagule settings publishing on
    ///   propagule settings publishing off
    #[command(verbatim_doc_comment)]
    Publishing {
        /// on or off
        #[arg(value_enum)]
        state: OnOff,
    },
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum OnOff {
    On,
    Off,
}

pub(super) async fn cmd_settings(context: &Context, args: SettingsArgs) -> Result<(), Fault> {
    let publishing = args.choice.map(|Choice::Publishing { state }| state == OnOff::On);
    ask::show(context, Request::Bench(Box::new(BenchRequest::Settings { publishing }))).await
}
