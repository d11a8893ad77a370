//! The events of a bench as they were written, one line of JSON each, for an archive.

use std::path::Path;

use super::{Bench, EVENT_FRAME};
use propagule_files::fault::Fault;
use propagule_files::journal::replay_all;
use propagule_files::journal::{HomeId, Journal, JournalKind, SEGMENT_BYTES, StoreError};

/// Events that are written with one flush when a journal is put back.
const AT_ONCE: usize = 4_096;

impl Bench {
    /// Every event of the bench below `folder`, in order and unchanged, each with a line end behind it.
    ///
    /// # Errors
    /// When the journal cannot be read whole, or holds what is no line of JSON.
    pub fn lines(folder: &Path, home: HomeId) -> Result<String, Fault> {
        let (mut lines, mut strange) = (String::new(), 0_u32);
        let damage = replay_all(&folder.join("bench"), JournalKind::Bench, home, |kind, body| {
            let line = std::str::from_utf8(body).ok().filter(|line| !line.contains(['\n', '\r']));
            match line
                .filter(|_| kind == EVENT_FRAME && serde_json::from_slice::<serde_json::Value>(body).is_ok())
            {
                Some(line) => lines.extend([line, "\n"]),
                None => strange += 1,
            }
        })?;
        if let Some(first) = damage.iter().find(|one| one.is_loss) {
            return Err(Fault::user("archive-of-damaged-bench").with("file", &first.file));
        }
        if strange > 0 {
            return Err(Fault::user("archive-of-newer-events").with("strange", strange));
        }
        Ok(lines)
    }

    /// Puts events back below `folder`, where no bench is yet.
    ///
    /// # Errors
    /// When writing fails.
    pub fn write_lines(folder: &Path, home: HomeId, lines: &[&str]) -> Result<(), StoreError> {
        let (mut journal, _) = Journal::open(&folder.join("bench"), JournalKind::Bench, home, SEGMENT_BYTES)?;
        for some in lines.chunks(AT_ONCE) {
            let frames: Vec<(u8, &[u8])> = some.iter().map(|line| (EVENT_FRAME, line.as_bytes())).collect();
            journal.append(&frames)?;
        }
        Ok(())
    }
}
