//! What a home remembers of its archives, in `archive.json`: not in the journal, since an archive changes nothing in it.

use std::path::Path;

use propagule_protocol::{AuthorKey, Date};
use serde::{Deserialize, Serialize};

use propagule_files::fault::Fault;
use propagule_files::replace::replace_file;

/// The last archive, and whose records came from one.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Archived {
    /// The day on which the last archive was made.
    pub last: Option<Date>,
    /// Authors of records that came with an archive without keys: still this home's records, in its next archive too.
    pub authors: Vec<AuthorKey>,
}

impl Archived {
    /// Reads what the home remembers; nothing where it made no archive yet.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn read(home: &Path) -> Result<Self, Fault> {
        let path = home.join("archive.json");
        match std::fs::read(&path) {
            Ok(bytes) => Ok(serde_json::from_slice(&bytes).unwrap_or_default()),
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => Ok(Self::default()),
            Err(e) => Err(Fault::file("read", &path, e)),
        }
    }

    /// Keeps it.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn write(&self, home: &Path) -> Result<(), Fault> {
        let text = serde_json::to_vec_pretty(self).expect("plain fields serialise");
        Ok(replace_file(&home.join("archive.json"), &text)?)
    }
}
