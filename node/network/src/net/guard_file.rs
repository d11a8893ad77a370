//! The guards in `guards.json`: which peers get own records first, and on how many days others were met.

use std::fs;
use std::path::{Path, PathBuf};

use libp2p::PeerId;

use crate::spread::Guards;
use propagule_files::fault::Fault;
use propagule_files::replace::replace_file;

/// Guards, kept in a file.
#[derive(Debug, Default)]
pub struct GuardFile {
    path: Option<PathBuf>,
    read: Guards<PeerId>,
}

impl GuardFile {
    /// Reads the guards, none where there is no file.
    ///
    /// # Errors
    /// When the file cannot be read or understood: to choose guards anew shows own records to more peers than need be.
    pub fn open(path: &Path) -> Result<Self, Fault> {
        if !path.exists() {
            return Ok(Self { path: Some(path.into()), read: Guards::default() });
        }
        let text = fs::read_to_string(path).map_err(|e| Fault::file("read", path, e))?;
        let named: Guards<String> = serde_json::from_str(&text)
            .map_err(|e| Fault::environment("guards-damaged").with("path", path.display()).because(e))?;
        Ok(Self { path: Some(path.into()), read: named.renamed(|name| name.parse().ok()) })
    }

    /// Guards that are kept nowhere, for nodes that live in memory.
    pub fn in_memory() -> Self {
        Self::default()
    }

    /// What was read.
    pub fn read(&self) -> &Guards<PeerId> {
        &self.read
    }

    /// Writes them down.
    ///
    /// # Errors
    /// When writing fails.
    pub(super) fn keep(&self, guards: &Guards<PeerId>) -> Result<(), Fault> {
        let Some(path) = &self.path else { return Ok(()) };
        let named = guards.renamed(|peer| Some(peer.to_string()));
        let text = serde_json::to_string_pretty(&named).expect("plain names and numbers serialise");
        Ok(replace_file(path, text.as_bytes())?)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn guards_are_read_as_they_were_written_and_a_damaged_file_is_named() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("guards.json");
        let file = GuardFile::open(&path).expect("there is none yet");
        let peer = PeerId::random();
        let text = format!(
            r#"{{"chosen": [{{"peer": "{peer}", "place": "a", "since": 5, "until": 9}}],
                "met": [{{"peer": "{peer}", "is_chosen": true, "days": 3, "last": 7}}]}}"#
        );
        let named: Guards<String> = serde_json::from_str(&text).expect("guards");
        let guards = named.renamed(|name| name.parse().ok());
        file.keep(&guards).expect("it is written");
        assert_eq!(GuardFile::open(&path).expect("it is read").read(), &guards);
        assert!(guards.is_guard(&peer));
        fs::write(&path, "{").expect("it is damaged");
        assert_eq!(GuardFile::open(&path).expect_err("it is damaged").code, "guards-damaged");
    }
}
