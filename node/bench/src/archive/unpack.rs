//! Reading an archive: everything is checked before anything of it is used.

use std::collections::BTreeSet;
use std::io::{Cursor, Read};

use zip::ZipArchive;

use super::manifest::sha256;
use super::{EVENTS, FORMAT, Files, MANIFEST, Manifest, TRUST, names};
use propagule_files::fault::Fault;

/// How much an archive may hold.
#[derive(Clone, Copy, Debug)]
pub struct Bounds {
    /// Files.
    pub files: usize,
    /// Bytes of all of them, unpacked.
    pub bytes: u64,
}

impl Bounds {
    /// Far above a lifetime at the bench, and little enough for memory.
    pub const USUAL: Self = Self { files: 100_000, bytes: 1 << 30 };
}

/// The manifest and the files that it names, whole and nothing else.
///
/// # Errors
/// What is wrong with it; nothing was written.
pub fn unpack(file: &str, bytes: &[u8], bounds: Bounds) -> Result<(Manifest, Files), Fault> {
    let mut zip = ZipArchive::new(Cursor::new(bytes))
        .map_err(|_| Fault::user("archive-not-a-zip-file").with("file", file))?;
    let listed = names::in_directory(bytes, zip.central_directory_start() as usize);
    check_names(file, &listed, zip.len(), bounds)?;
    let mut room = bounds.bytes;
    let mut files = Files::new();
    for name in listed {
        let content = read(&mut zip, file, &name, room)?;
        room -= content.len() as u64;
        files.insert(name, content);
    }
    let manifest = manifest(file, files.remove(MANIFEST))?;
    check_files(file, &manifest, &files)?;
    Ok((manifest, files))
}

fn check_names(file: &str, listed: &[String], read: usize, bounds: Bounds) -> Result<(), Fault> {
    if listed.len() > bounds.files {
        return Err(Fault::user("archive-of-too-many-files")
            .with("file", file)
            .with("files", listed.len())
            .with("most", bounds.files));
    }
    let mut seen = BTreeSet::new();
    for name in listed {
        if !names::belongs(name) {
            return Err(Fault::user("archive-with-strange-file")
                .with("file", file)
                .with("name", name.escape_default()));
        }
        if !seen.insert(name) {
            return Err(Fault::user("archive-with-file-twice").with("file", file).with("name", name));
        }
    }
    if listed.len() != read {
        return Err(Fault::user("archive-directory-contradicts")
            .with("file", file)
            .with("files", listed.len())
            .with("read", read));
    }
    Ok(())
}

fn read(zip: &mut ZipArchive<Cursor<&[u8]>>, file: &str, name: &str, room: u64) -> Result<Vec<u8>, Fault> {
    let too_large = || {
        Fault::user("archive-unpacked-too-large").with("file", file).with("most", Bounds::USUAL.bytes >> 20)
    };
    let unreadable = || Fault::user("archive-file-unreadable").with("file", file).with("name", name);
    let found = zip.by_name(name).map_err(|e| unreadable().because(e))?;
    if found.size() > room {
        return Err(too_large());
    }
    let mut content = Vec::new();
    // What a file says of its own size is not relied on.
    let read = found.take(room + 1).read_to_end(&mut content);
    read.map_err(|e| unreadable().because(e))?;
    if content.len() as u64 > room { Err(too_large()) } else { Ok(content) }
}

fn manifest(file: &str, content: Option<Vec<u8>>) -> Result<Manifest, Fault> {
    let not_ours = || Fault::user("archive-without-manifest").with("file", file);
    let value: serde_json::Value =
        content.and_then(|bytes| serde_json::from_slice(&bytes).ok()).ok_or_else(not_ours)?;
    let format = value["format"].as_str().unwrap_or_default().to_owned();
    if format != FORMAT {
        return Err(Fault::user("archive-of-another-format")
            .with("file", file)
            .with("format", format.escape_default())
            .with("known", FORMAT));
    }
    serde_json::from_value(value).map_err(|_| not_ours())
}

/// Every file that the manifest names is there and as it says, and no other.
fn check_files(file: &str, manifest: &Manifest, files: &Files) -> Result<(), Fault> {
    let missing = |name: &str| {
        Fault::user("archive-file-missing").with("file", file).with("name", name.escape_default())
    };
    for line in &manifest.files {
        let Some(content) = files.get(&line.name) else { return Err(missing(&line.name)) };
        if sha256(content) != line.sha256 {
            return Err(Fault::user("archive-file-changed").with("file", file).with("name", &line.name));
        }
    }
    for needed in [EVENTS, TRUST] {
        if !manifest.files.iter().any(|line| line.name == needed) {
            return Err(missing(needed));
        }
    }
    match files.keys().find(|name| manifest.files.iter().all(|line| line.name != **name)) {
        Some(name) => Err(Fault::user("archive-file-not-named").with("file", file).with("name", name)),
        None => Ok(()),
    }
}
