//! Names of the files in a ZIP file, and which may be in an archive.

use crate::archive::{EVENTS, KEYS, MANIFEST, RECORDS, TABLES, TRUST};

/// Begins an entry of the central directory (APPNOTE.TXT of PKWARE, 4.3.12).
const ENTRY: [u8; 4] = *b"PK\x01\x02";
/// Bytes of such an entry before its name.
const ENTRY_BYTES: usize = 46;
/// The longest name of a key file.
const KEY_NAME: usize = 60;

/// Every name in the central directory that begins at `at`, in its order; one that stands there twice is named twice.
pub(super) fn in_directory(bytes: &[u8], mut at: usize) -> Vec<String> {
    let mut names = Vec::new();
    while let Some(head) = bytes.get(at..at + ENTRY_BYTES).filter(|head| head[..4] == ENTRY) {
        let length = |from: usize| usize::from(u16::from_le_bytes([head[from], head[from + 1]]));
        let Some(name) = bytes.get(at + ENTRY_BYTES..at + ENTRY_BYTES + length(28)) else { break };
        names.push(String::from_utf8_lossy(name).into_owned());
        at += ENTRY_BYTES + length(28) + length(30) + length(32);
    }
    names
}

/// Whether a file of this name belongs into an archive: no name leads out of it.
pub(super) fn belongs(name: &str) -> bool {
    if let Some(id) = name.strip_prefix(RECORDS) {
        return id.strip_suffix(".cbor").is_some_and(|id| id.len() == 64 && id.bytes().all(is_hex));
    }
    if let Some(key) = name.strip_prefix(KEYS) {
        let is_plain = |byte: u8| byte.is_ascii_lowercase() || byte.is_ascii_digit() || byte == b'-';
        return key.len() <= KEY_NAME
            && key.strip_suffix(".key").is_some_and(|stem| !stem.is_empty() && stem.bytes().all(is_plain));
    }
    let tables = [crate::tidy::TABLE, crate::tidy::DESCRIPTOR];
    [MANIFEST, EVENTS, TRUST].contains(&name)
        || name.strip_prefix(TABLES).is_some_and(|table| tables.contains(&table))
}

fn is_hex(byte: u8) -> bool {
    byte.is_ascii_digit() || (b'a'..=b'f').contains(&byte)
}
