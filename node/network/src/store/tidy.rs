//! Writing the records journal anew: to leave out what is not needed, or to salvage what is whole.

use std::collections::{HashMap, HashSet};
use std::sync::PoisonError;

use propagule_protocol::{AuthorKey, RecordId};
use serde::{Deserialize, Serialize};

use super::arrivals::FrameKind;
use super::values;
use super::{Loss, Store, StoreError, Writer, keys};
use crate::spread::Stage;
use propagule_files::journal::frame::HEAD_BYTES;
use propagule_files::journal::rewrite::Kept;
use propagule_files::journal::{JournalKind, replay_all};

/// What repairing or compacting has done.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Tidied {
    /// Bytes of the journal before.
    pub bytes_before: u64,
    /// Bytes of the journal now.
    pub bytes: u64,
    /// Damaged segments that are kept aside, by file name.
    pub kept_aside: Vec<String>,
    /// What is lost and has not come back.
    pub losses: Vec<Loss>,
}

impl Store {
    /// Leaves out of the journal what is not needed any more. Every record of the set stays.
    ///
    /// # Errors
    /// When writing fails; then the journal is as before.
    pub fn compact(&self) -> Result<Tidied, StoreError> {
        let mut writer = self.writer();
        self.tidy(&mut writer, &HashSet::new())
    }

    /// Leaves out, beside what is not needed, every record that these authors signed and that is none of this home's own.
    ///
    /// # Errors
    /// When writing fails; then the journal is as before.
    pub fn drop_authors(&self, authors: &HashSet<AuthorKey>) -> Result<Tidied, StoreError> {
        let mut writer = self.writer();
        self.tidy(&mut writer, authors)
    }

    /// Bytes that the records of each author take in the journal, kept aside or not.
    ///
    /// # Errors
    /// When the journal cannot be read.
    pub fn sizes(&self) -> Result<HashMap<AuthorKey, u64>, StoreError> {
        // Held until all is read: the journal must not be written anew meanwhile.
        let _writer = self.writer();
        let mut sizes = HashMap::new();
        let folder = self.folder.join("records");
        replay_all(&folder, JournalKind::Records, self.home, |kind, body| {
            let is_record = matches!(FrameKind::from_code(kind), Some(FrameKind::Record | FrameKind::Own));
            if let Some(signed) =
                is_record.then(|| propagule_protocol::reopen(body, &self.network).ok()).flatten()
            {
                *sizes.entry(signed.author).or_insert(0) += (HEAD_BYTES + body.len()) as u64;
            }
        })?;
        Ok(sizes)
    }

    /// Salvages everything whole into a new journal, keeps damaged segments aside, and builds the index anew.
    ///
    /// What was lost is named, and is wanted from peers again.
    ///
    /// # Errors
    /// When writing fails; then the journal is as before.
    pub fn repair(&self) -> Result<Tidied, StoreError> {
        let mut writer = self.writer();
        let damage = self.verify_with(&writer)?.damage;
        self.name_losses(&damage, false)?;
        let tidied = self.tidy(&mut writer, &HashSet::new())?;
        // Of what nobody can name no more can be said than this once.
        let named: Vec<Loss> = tidied.losses.iter().filter(|loss| !loss.is_unknown).cloned().collect();
        self.write_losses(&named)?;
        Ok(tidied)
    }

    /// Whether a record is hidden from others.
    pub(super) fn is_hidden(&self, id: &RecordId) -> Result<bool, StoreError> {
        Ok(self.stage(id)?.is_some_and(Stage::is_hidden))
    }

    fn stage(&self, id: &RecordId) -> Result<Option<Stage>, StoreError> {
        Ok(self.index().get(&keys::outbox(id))?.and_then(|row| Stage::decode(&row)))
    }

    fn tidy(&self, writer: &mut Writer, dropped: &HashSet<AuthorKey>) -> Result<Tidied, StoreError> {
        let bytes_before = writer.journal.bytes();
        let mut seen = HashSet::new();
        let kept_aside = {
            let index = self.index.write().unwrap_or_else(PoisonError::into_inner);
            let stage = |id: &RecordId| -> Result<Option<Stage>, StoreError> {
                Ok(index.get(&keys::outbox(id))?.and_then(|row| Stage::decode(&row)))
            };
            let is_surplus = |id: &RecordId| -> Result<bool, StoreError> {
                Ok(index.get(&keys::aside(id))?.is_some_and(|row| row.is_empty()))
            };
            let in_set = |id: &RecordId| index.has(&keys::record(id));
            let kept = writer.journal.rewrite(|kind, body| {
                let Some(known) = FrameKind::from_code(kind) else { return Ok(vec![(kind, body.to_vec())]) };
                match known {
                    FrameKind::Record | FrameKind::Own => {
                        let Ok(signed) = propagule_protocol::reopen(body, &self.network) else {
                            return Ok(vec![(kind, body.to_vec())]);
                        };
                        let is_dropped = known == FrameKind::Record && dropped.contains(&signed.author);
                        if is_dropped || !seen.insert(signed.id) {
                            return Ok(Vec::new());
                        }
                        Ok(keep_record(&signed.id, body, stage(&signed.id)?, is_surplus(&signed.id)?))
                    }
                    // Stages stand behind their records in the new journal.
                    FrameKind::Stage | FrameKind::HandedOn => Ok(Vec::new()),
                    FrameKind::Held | FrameKind::HeldId => {
                        let Some(id) = body.get(..32).and_then(values::id_of) else { return Ok(Vec::new()) };
                        let is_wanted = !in_set(&id)? && seen.insert(id);
                        Ok(if is_wanted { vec![(kind, body.to_vec())] } else { Vec::new() })
                    }
                }
            })?;
            self.reader.forget();
            kept
        };
        self.rebuild(writer)?;
        Ok(Tidied { bytes_before, bytes: writer.journal.bytes(), kept_aside, losses: self.losses()? })
    }
}

fn keep_record(id: &RecordId, body: &[u8], stage: Option<Stage>, is_surplus: bool) -> Kept {
    if is_surplus {
        return vec![(FrameKind::HeldId.code(), id.0.to_vec())];
    }
    let Some(stage) = stage else { return vec![(FrameKind::Record.code(), body.to_vec())] };
    let staged = [&id.0[..], &stage.encode()].concat();
    vec![(FrameKind::Own.code(), body.to_vec()), (FrameKind::Stage.code(), staged)]
}
