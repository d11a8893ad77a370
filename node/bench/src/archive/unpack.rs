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
/// What is wrong with it, in words; nothing was written.
pub fn unpack(file: &str, bytes: &[u8], bounds: Bounds) -> Result<(Manifest, Files), Fault> {
    let mut zip = ZipArchive::new(Cursor::new(bytes))
        .map_err(|_| wrong(file, "it is no ZIP file, or not whole", COPY_AGAIN))?;
    let listed = names::in_directory(bytes, zip.central_directory_start() as usize);
    check_names(file, &listed, zip.len(), bounds)?;
    let mut room = bounds.bytes;
    let mut files = Files::new();
    for name in listed {
        let content = read(&mut zip, &name, room).map_err(|why| wrong(file, &why, COPY_AGAIN))?;
        room -= content.len() as u64;
        files.insert(name, content);
    }
    let manifest = manifest(file, files.remove(MANIFEST))?;
    check_files(file, &manifest, &files)?;
    Ok((manifest, files))
}

const COPY_AGAIN: &str =
    "copy the file again from where it was kept, or take an earlier archive; nothing was written";

const OURS: &str = "take a file that propagule export wrote; nothing of this one was written";

fn wrong(file: &str, why: &str, hint: &str) -> Fault {
    Fault::user("archive-refused").with("file", file).with("why", why).hint(hint)
}

fn check_names(file: &str, listed: &[String], read: usize, bounds: Bounds) -> Result<(), Fault> {
    let strange = |why: String| wrong(file, &why, OURS);
    if listed.len() > bounds.files {
        return Err(strange(format!("it holds {} files; {} is the most", listed.len(), bounds.files)));
    }
    let mut seen = BTreeSet::new();
    for name in listed {
        if !names::belongs(name) {
            return Err(strange(format!("\"{}\" does not belong into an archive", name.escape_default())));
        }
        if !seen.insert(name) {
            return Err(strange(format!("it holds \"{name}\" twice")));
        }
    }
    if listed.len() != read {
        return Err(strange(format!("its directory names {} files and {read} can be read", listed.len())));
    }
    Ok(())
}

fn read(zip: &mut ZipArchive<Cursor<&[u8]>>, name: &str, room: u64) -> Result<Vec<u8>, String> {
    let too_large = || format!("unpacked it is larger than {} MB", Bounds::USUAL.bytes >> 20);
    let file = zip.by_name(name).map_err(|e| format!("\"{name}\" cannot be read: {e}"))?;
    if file.size() > room {
        return Err(too_large());
    }
    let mut content = Vec::new();
    // What a file says of its own size is not relied on.
    let read = file.take(room + 1).read_to_end(&mut content);
    read.map_err(|e| format!("\"{name}\" cannot be read: {e}"))?;
    if content.len() as u64 > room { Err(too_large()) } else { Ok(content) }
}

fn manifest(file: &str, content: Option<Vec<u8>>) -> Result<Manifest, Fault> {
    let not_ours = || wrong(file, "it has no manifest.json that can be read", OURS);
    let value: serde_json::Value =
        content.and_then(|bytes| serde_json::from_slice(&bytes).ok()).ok_or_else(not_ours)?;
    let format = value["format"].as_str().unwrap_or_default().to_owned();
    if format != FORMAT {
        let why =
            format!("it is of the form \"{}\"; this version reads \"{FORMAT}\"", format.escape_default());
        return Err(wrong(
            file,
            &why,
            "use the newer version of propagule that made it; nothing was written",
        ));
    }
    serde_json::from_value(value).map_err(|_| not_ours())
}

/// Every file that the manifest names is there and as it says, and no other.
fn check_files(file: &str, manifest: &Manifest, files: &Files) -> Result<(), Fault> {
    let damaged = |why: String| wrong(file, &why, COPY_AGAIN);
    for line in &manifest.files {
        let Some(content) = files.get(&line.name) else {
            return Err(damaged(format!("\"{}\" is missing", line.name.escape_default())));
        };
        if sha256(content) != line.sha256 {
            return Err(damaged(format!("\"{}\" is not as it was when the archive was made", line.name)));
        }
    }
    for needed in [EVENTS, TRUST] {
        if !manifest.files.iter().any(|line| line.name == needed) {
            return Err(damaged(format!("\"{needed}\" is missing")));
        }
    }
    match files.keys().find(|name| manifest.files.iter().all(|line| line.name != **name)) {
        Some(name) => Err(damaged(format!("its manifest does not name \"{name}\""))),
        None => Ok(()),
    }
}
