//! Folders that only their owner can enter, and files that are written whole or not at all.

use std::fs;
use std::io::Write;
use std::path::Path;

use crate::error::{StoreError, io_error};
use crate::fault::Fault;
use crate::system;

/// Makes a folder, with its parents, that only the owner can enter.
///
/// # Errors
/// When the system refuses it.
pub fn make_private_folder(path: &Path) -> Result<(), Fault> {
    system::private_folder(path)
        .map_err(|e| Fault::file("create", path, e).hint_named("choose-writable-folder"))
}

/// Writes a file whole or not at all: beside it, flushed, then renamed over it.
///
/// # Errors
/// When the system refuses it; then the file is what it was.
pub fn replace_file(path: &Path, content: &[u8]) -> Result<(), StoreError> {
    let beside = path.with_extension("new");
    let written = fs::File::create(&beside).and_then(|mut file| {
        file.write_all(content)?;
        file.sync_all()
    });
    written.and_then(|()| fs::rename(&beside, path)).map_err(|e| io_error("write", path, e))
}
