//! `propagule note`

use clap::Args;

use super::day::EntryArgs;
use super::{Context, ask};
use propagule_app::{BenchRequest, Request};
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

impl NoteArgs {
    /// What is asked for.
    pub(super) fn request(self, context: &Context) -> Result<BenchRequest, Fault> {
        let mut common = self.entry.common(context)?;
        common.note = self.words.or(common.note);
        Ok(BenchRequest::Note { subject: self.subject, common })
    }
}

pub(super) async fn cmd_note(context: &Context, args: NoteArgs) -> Result<(), Fault> {
    let request = args.request(context)?;
    ask::show(context, Request::Bench(Box::new(request))).await
}
