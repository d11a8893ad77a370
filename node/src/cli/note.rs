//! `propagule note`

use clap::Args;

use super::day::EntryArgs;
use super::{Context, ask};
use propagule_app::{BenchRequest, Request};
use propagule_files::fault::Fault;

#[derive(Debug, Args)]
pub(crate) struct NoteArgs {
    subject: String,
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
