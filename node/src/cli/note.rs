//! `propagule note`

use clap::Args;

use super::day::EntryArgs;
use super::{Context, ask};
use crate::app::{BenchRequest, Request};
use propagule_files::fault::Fault;

/// Keep a private note or the path of a picture with a trial or a spot
///
/// Examples:
///   propagule note M1 'leaves paler on the window side'
///   propagule note 'mist house' 'nozzle 3 blocked' --on 2026-07-02
#[derive(Debug, Args)]
#[command(verbatim_doc_comment)]
pub(crate) struct NoteArgs {
    /// Code of the trial, or name of the spot
    subject: String,
    /// The note
    words: Option<String>,
    #[command(flatten)]
    entry: EntryArgs,
}

pub(super) async fn cmd_note(context: &Context, args: NoteArgs) -> Result<(), Fault> {
    let mut common = args.entry.common(context)?;
    common.note = args.words.or(common.note);
    let request = BenchRequest::Note { subject: args.subject, common };
    ask::show(context, Request::Bench(Box::new(request))).await
}
