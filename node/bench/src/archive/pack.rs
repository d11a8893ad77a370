//! Writing an archive: the same files give the same bytes.

use std::io::{Cursor, Write};

use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, ZipWriter};

use super::{Files, MANIFEST, Manifest};
use propagule_files::fault::Fault;

/// The manifest and the files, in the order of their names and all of one time.
///
/// # Errors
/// When they are too many or too long for a ZIP file.
pub fn pack(manifest: &Manifest, files: &Files) -> Result<Vec<u8>, Fault> {
    let text = serde_json::to_string_pretty(manifest).expect("plain fields serialise");
    let all = std::iter::once((MANIFEST, text.as_bytes()))
        .chain(files.iter().map(|(name, bytes)| (name.as_str(), bytes.as_slice())));
    write(all).map_err(|e| Fault::environment("archive-not-made").because(e))
}

fn write<'a>(files: impl Iterator<Item = (&'a str, &'a [u8])>) -> zip::result::ZipResult<Vec<u8>> {
    let options = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Deflated)
        .compression_level(Some(6))
        .last_modified_time(DateTime::default())
        .unix_permissions(0o600);
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in files {
        zip.start_file(name, options)?;
        zip.write_all(bytes)?;
    }
    Ok(zip.finish()?.into_inner())
}
