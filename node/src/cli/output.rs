//! Files that commands write.

use std::fs::OpenOptions;
use std::io::{ErrorKind, Write};
use std::path::Path;

use super::Context;
use propagule_files::fault::Fault;
use propagule_files::system::Access;

/// Writes a file; one that is there is left alone unless `force`.
pub(super) fn write_file(context: &Context, path: &Path, text: &str, force: bool) -> Result<(), Fault> {
    let mut options = OpenOptions::new();
    options.write(true);
    if force {
        options.create(true).truncate(true);
    } else {
        options.create_new(true);
    }
    let written = options.open(path).and_then(|mut file| file.write_all(text.as_bytes()));
    match written {
        Ok(()) => {
            context.ui.note(format!("Wrote {}.", path.display()));
            Ok(())
        }
        Err(e) if e.kind() == ErrorKind::AlreadyExists => Err(is_there(path)),
        Err(e) => Err(Fault::file("write", path, e)),
    }
}

/// A file that is there was not asked to be written over.
pub(super) fn is_there(path: &Path) -> Fault {
    Fault::user("file-exists").with("path", path.display())
}

/// Writes a file whole or not at all; a secret one can be read by its owner only.
pub(super) fn write_bytes(
    context: &Context,
    path: &Path,
    bytes: &[u8],
    force: bool,
    is_secret: bool,
) -> Result<(), Fault> {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let access = if is_secret { Access::Owner } else { Access::Usual };
    let failed = |e| Fault::file("write", path, e);
    let mut builder = tempfile::Builder::new();
    if let Some(permissions) = access.permissions() {
        builder.permissions(permissions);
    }
    let mut file = builder.tempfile_in(folder).map_err(failed)?;
    file.write_all(bytes).and_then(|()| file.as_file().sync_all()).map_err(failed)?;
    let kept = if force { file.persist(path) } else { file.persist_noclobber(path) };
    match kept {
        Ok(_) => {
            context.ui.note(format!("Wrote {}.", path.display()));
            Ok(())
        }
        Err(e) if e.error.kind() == ErrorKind::AlreadyExists => Err(is_there(path)),
        Err(e) => Err(failed(e.error)),
    }
}
