//! Bundles in words.

use crate::document::{Document, List};
use propagule_files::counted::counted;

use super::command::ending_in_command;
use crate::words;
use propagule_app::outcome::bundle::{BundleOutcome, BundleTaken, RecordsWritten};

/// A bundle was written or taken in.
pub(super) fn done(outcome: &BundleOutcome) -> Document {
    match outcome {
        BundleOutcome::Out(written) => Document::new().say(format!(
            "Wrote {} to {}",
            counted(written.records, "record", "records"),
            written.file
        )),
        BundleOutcome::In(taken) => self::taken(taken),
    }
}

fn taken(BundleTaken { file, tally }: &BundleTaken) -> Document {
    let refused: u64 = tally.refused.values().sum();
    let mut more: Vec<String> =
        tally.refused.iter().map(|(reason, count)| format!("refused {count} × {reason}")).collect();
    if tally.dropped > 0 {
        more.push(format!("not kept, since there is no room for them: {}", tally.dropped));
    }
    if tally.delayed > 0 {
        more.push(words::standing::over_the_day(tally.delayed));
    }
    let said = format!(
        "{file}: {}, {} here already, {} for a newer version of Propagule, {refused} refused",
        counted(tally.new, "new result", "new results"),
        tally.known,
        tally.aside
    );
    if more.is_empty() {
        Document::new().say(said)
    } else {
        Document::new().section(said, |under| under.list(List::points(more)))
    }
}

/// What this home has was written down.
pub(super) fn request(written: &RecordsWritten) -> Document {
    let RecordsWritten { file, records } = written;
    Document::new()
        .say(format!("Wrote down what is here ({}) in {file}", counted(*records, "record", "records")))
        .say(ending_in_command(&format!(
            "On the other computer: propagule bundle export FILE --missing-for {file}"
        )))
}
