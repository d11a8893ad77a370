//! Files that commands write.

use std::fs::OpenOptions;
use std::io::{ErrorKind, Write};
use std::path::Path;

use super::Context;
use crate::error::Failure;

/// Writes a file; one that is there is left alone unless `force`.
pub(super) fn write_file(context: &Context, path: &Path, text: &str, force: bool) -> Result<(), Failure> {
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
        Err(e) if e.kind() == ErrorKind::AlreadyExists => {
            Err(Failure::expected(format!("{} is there already; it was left alone", path.display()))
                .hint("choose another name, or add --force to write over it"))
        }
        Err(e) => Err(Failure::file("write", path, e)),
    }
}
