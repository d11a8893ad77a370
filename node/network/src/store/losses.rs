//! What was acknowledged and is lost: named in a file, until peers have brought it back.

use std::fs;
use std::path::PathBuf;

use propagule_protocol::RecordId;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Damage, JournalKind, Store, StoreError, keys, segment, values};
use propagule_files::journal::Position;
use propagule_files::journal::io_error;

/// A damaged stretch of the records journal, and which records stood there.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Loss {
    /// File name of the segment.
    pub file: String,
    /// First damaged byte.
    pub from: u64,
    /// First byte after the damage.
    pub to: u64,
    /// Records that the index had there and that have not come back.
    pub records: Vec<RecordId>,
    /// Whether the index could not tell what stood there.
    pub is_unknown: bool,
}

/// Losses that were just found.
pub(super) struct Named {
    /// Whether records are lost that still stand in the index.
    pub(super) is_new: bool,
}

impl Store {
    fn losses_path(&self) -> PathBuf {
        self.folder.join("records").join("losses.json")
    }

    /// All losses so far, less what has come back.
    ///
    /// # Errors
    /// When the file or the index cannot be read.
    pub fn losses(&self) -> Result<Vec<Loss>, StoreError> {
        let path = self.losses_path();
        let text = match fs::read_to_string(&path) {
            Ok(text) => text,
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => return Ok(Vec::new()),
            Err(e) => return Err(io_error("read", &path, e)),
        };
        // A list that cannot be read names nothing; the damage itself is found again by `verify`.
        let mut losses: Vec<Loss> = serde_json::from_str(&text).unwrap_or_default();
        for loss in &mut losses {
            let back = |id: &RecordId| self.knows(id);
            let mut missing = Vec::new();
            for id in std::mem::take(&mut loss.records) {
                if !back(&id)? {
                    missing.push(id);
                }
            }
            loss.records = missing;
        }
        losses.retain(|loss| loss.is_unknown || !loss.records.is_empty());
        Ok(losses)
    }

    /// Looks up which records stood in damaged stretches, and writes them down.
    ///
    /// When the index is a new one (`is_blind`) nobody knows which ones they were.
    pub(super) fn name_losses(&self, damage: &[Damage], is_blind: bool) -> Result<Named, StoreError> {
        let lost: Vec<&Damage> = damage.iter().filter(|one| one.is_loss).collect();
        if lost.is_empty() {
            return Ok(Named { is_new: false });
        }
        let place = |id: &[u8], position: Position| {
            let path = segment::path(std::path::Path::new(""), JournalKind::Records, position.segment);
            let (name, at) = (path.display().to_string(), u64::from(position.offset));
            let which = lost.iter().position(|one| one.file == name && (one.from..one.to).contains(&at))?;
            Some((which, values::id_of(id)?))
        };
        let mut rows = self
            .index()
            .below(&keys::all_records(), |id, row| place(id, values::RecordRow::decode(row)?.position))?;
        rows.extend(
            self.index().below(&keys::all_aside(), |id, row| place(id, values::decode_aside(row)?.0))?,
        );
        let is_new = !rows.is_empty();
        let mut known = self.losses()?;
        for (which, one) in lost.iter().enumerate() {
            let records: Vec<RecordId> =
                rows.iter().filter(|(of, _)| *of == which).map(|(_, id)| *id).collect();
            let is_named = known.iter().any(|loss| loss.file == one.file && loss.from == one.from);
            if !is_named || !records.is_empty() {
                let is_unknown = records.is_empty() && is_blind;
                known.push(Loss { file: one.file.clone(), from: one.from, to: one.to, records, is_unknown });
            }
        }
        self.write_losses(&known)?;
        Ok(Named { is_new })
    }

    pub(super) fn write_losses(&self, losses: &[Loss]) -> Result<(), StoreError> {
        let path = self.losses_path();
        let text = serde_json::to_vec_pretty(losses).expect("plain fields serialise");
        let beside = path.with_extension("new");
        let written = fs::write(&beside, text).and_then(|()| fs::rename(&beside, &path));
        written.map_err(|e| io_error("write", &path, e))
    }
}
