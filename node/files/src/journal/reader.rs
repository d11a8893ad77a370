//! Reading single frames of a journal, beside the writer and without waiting for it.

use std::collections::BTreeMap;
use std::fs::File;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Arc, PoisonError, RwLock};

use super::frame::{self, HEAD_BYTES};
use super::log::Position;
use super::{HomeId, JournalKind, segment};
use crate::error::{StoreError, io_error};
use crate::system::read_exact_at;

/// Read access to all segments of one journal.
#[derive(Debug)]
pub struct Reader {
    folder: PathBuf,
    kind: JournalKind,
    home: HomeId,
    files: RwLock<BTreeMap<u32, Arc<File>>>,
}

impl Reader {
    /// A reader of one journal of a home.
    pub fn new(folder: &Path, kind: JournalKind, home: HomeId) -> Self {
        Self { folder: folder.into(), kind, home, files: RwLock::default() }
    }

    /// Kind and body of the frame at `position`; `None` where it is damaged or not there.
    pub fn read(&self, position: Position) -> Result<Option<(u8, Vec<u8>)>, StoreError> {
        let Some(file) = self.file(position.segment)? else { return Ok(None) };
        let offset = u64::from(position.offset);
        let mut bytes = vec![0; HEAD_BYTES];
        if read_exact_at(&file, &mut bytes, offset).is_err() {
            return Ok(None);
        }
        let body_bytes = u32::from_be_bytes([bytes[4], bytes[5], bytes[6], bytes[7]]) as usize;
        if body_bytes > frame::MAX_BODY_BYTES {
            return Ok(None);
        }
        bytes.resize(HEAD_BYTES + body_bytes, 0);
        if read_exact_at(&file, &mut bytes[HEAD_BYTES..], offset + HEAD_BYTES as u64).is_err() {
            return Ok(None);
        }
        Ok(frame::read(&bytes, 0, self.home).map(|found| (found.kind, found.body(&bytes).to_vec())))
    }

    /// Forgets open files, after the journal has been written anew.
    pub fn forget(&self) {
        self.files.write().unwrap_or_else(PoisonError::into_inner).clear();
    }

    fn file(&self, number: u32) -> Result<Option<Arc<File>>, StoreError> {
        // A poisoned lock only means that a reader panicked; the map itself stays whole.
        if let Some(file) = self.files.read().unwrap_or_else(PoisonError::into_inner).get(&number) {
            return Ok(Some(Arc::clone(file)));
        }
        let path = segment::path(&self.folder, self.kind, number);
        match File::open(&path) {
            Ok(file) => {
                let file = Arc::new(file);
                let mut files = self.files.write().unwrap_or_else(PoisonError::into_inner);
                files.insert(number, Arc::clone(&file));
                Ok(Some(file))
            }
            Err(e) if e.kind() == io::ErrorKind::NotFound => Ok(None),
            Err(e) => Err(io_error("open", &path, e)),
        }
    }
}
