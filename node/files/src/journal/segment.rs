//! One file of a journal: a header that names its home, then frames.

use std::fs::{self, File, OpenOptions};
use std::io::{Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

use super::frame::{self, Found};
use super::{FORMAT_VERSION, HomeId, JournalKind};
use crate::error::{StoreError, io_error};
use crate::system;

const MAGIC: [u8; 8] = *b"PGLEJRNL";
/// Magic, version, journal kind, spare byte, home id, number.
pub const HEADER_BYTES: usize = 8 + 2 + 1 + 1 + 16 + 4;

/// What a scan of one segment found.
#[derive(Debug, Default)]
pub struct Scan {
    /// Whole frames in order.
    pub frames: Vec<Found>,
    /// Damaged stretches that have a whole frame behind them: (from, to).
    pub gaps: Vec<(usize, usize)>,
    /// Where a tail begins that has no whole frame behind it.
    pub torn_at: Option<usize>,
}

/// Path of segment `number` in `folder`.
pub fn path(folder: &Path, kind: JournalKind, number: u32) -> PathBuf {
    folder.join(format!("{}-{number:06}.journal", kind.stem()))
}

/// Numbers of the segments in `folder`, rising.
pub fn numbers(folder: &Path, kind: JournalKind) -> Result<Vec<u32>, StoreError> {
    numbers_with(folder, kind, "journal")
}

/// Numbers of the files in `folder` that are named like segments but for their ending, rising.
pub(super) fn numbers_with(folder: &Path, kind: JournalKind, ending: &str) -> Result<Vec<u32>, StoreError> {
    let entries = fs::read_dir(folder).map_err(|e| io_error("list", folder, e))?;
    let mut numbers = Vec::new();
    for entry in entries {
        let entry = entry.map_err(|e| io_error("list", folder, e))?;
        numbers.extend(number_of(&entry.file_name().to_string_lossy(), kind, ending));
    }
    numbers.sort_unstable();
    Ok(numbers)
}

fn number_of(name: &str, kind: JournalKind, ending: &str) -> Option<u32> {
    name.strip_prefix(kind.stem())?.strip_prefix('-')?.strip_suffix(ending)?.strip_suffix('.')?.parse().ok()
}

/// Makes segment `number`: header written, file and folder flushed to disk.
pub fn create(folder: &Path, kind: JournalKind, home: HomeId, number: u32) -> Result<File, StoreError> {
    let path = path(folder, kind, number);
    let mut file = OpenOptions::new()
        .read(true)
        .write(true)
        .create_new(true)
        .open(&path)
        .map_err(|e| io_error("create", &path, e))?;
    file.write_all(&header(kind, home, number)).map_err(|e| io_error("write", &path, e))?;
    file.sync_all().map_err(|e| io_error("flush", &path, e))?;
    sync_folder(folder)?;
    Ok(file)
}

/// Opens an existing segment for reading and appending.
pub fn open(path: &Path) -> Result<File, StoreError> {
    OpenOptions::new().read(true).write(true).open(path).map_err(|e| io_error("open", path, e))
}

/// The whole content of a segment.
pub fn read_all(file: &mut File, path: &Path) -> Result<Vec<u8>, StoreError> {
    let mut bytes = Vec::new();
    file.seek(SeekFrom::Start(0)).map_err(|e| io_error("read", path, e))?;
    file.read_to_end(&mut bytes).map_err(|e| io_error("read", path, e))?;
    Ok(bytes)
}

/// Flushes a folder's entries to disk.
pub fn sync_folder(folder: &Path) -> Result<(), StoreError> {
    system::sync_folder(folder).map_err(|e| io_error("flush", folder, e))
}

pub(super) fn header(kind: JournalKind, home: HomeId, number: u32) -> [u8; HEADER_BYTES] {
    let mut out = [0; HEADER_BYTES];
    out[..8].copy_from_slice(&MAGIC);
    out[8..10].copy_from_slice(&FORMAT_VERSION.to_be_bytes());
    out[10] = kind.code();
    out[12..28].copy_from_slice(&home.0);
    out[28..32].copy_from_slice(&number.to_be_bytes());
    out
}

/// Whether a segment begins with its header, of this version or an older one.
pub(super) fn is_header(bytes: &[u8], kind: JournalKind, home: HomeId, number: u32) -> bool {
    let Some(head) = bytes.get(..HEADER_BYTES) else { return false };
    let mut expected = header(kind, home, number);
    if (1..=FORMAT_VERSION).contains(&version(head)) {
        expected[8..10].copy_from_slice(&head[8..10]);
    }
    *head == expected
}

/// The format that a header says.
pub(super) fn version(head: &[u8]) -> u16 {
    u16::from_be_bytes([head[8], head[9]])
}

/// Refuses journals of which a newer version wrote any segment, before anything is opened for writing.
pub fn refuse_newer(home: &Path) -> Result<(), StoreError> {
    for kind in [JournalKind::Bench, JournalKind::Records] {
        let folder = home.join(kind.stem());
        for number in if folder.exists() { numbers(&folder, kind)? } else { Vec::new() } {
            let path = path(&folder, kind, number);
            let mut head = Vec::with_capacity(HEADER_BYTES);
            let opened =
                File::open(&path).and_then(|file| file.take(HEADER_BYTES as u64).read_to_end(&mut head));
            opened.map_err(|e| io_error("read", &path, e))?;
            check_version(&head, &path)?;
        }
    }
    Ok(())
}

/// Refuses a header that says a newer version; one that is damaged says nothing.
fn check_version(bytes: &[u8], path: &Path) -> Result<(), StoreError> {
    let Some(head) = bytes.get(..HEADER_BYTES).filter(|head| head[..8] == MAGIC) else { return Ok(()) };
    let version = version(head);
    if version > FORMAT_VERSION {
        return Err(StoreError::NewerFormat { path: path.into(), found: version, known: FORMAT_VERSION });
    }
    Ok(())
}

/// Refuses a segment that a newer version wrote or that belongs to another home.
///
/// A header that says neither is damage, which the scan reports.
pub fn check_header(bytes: &[u8], home: HomeId, path: &Path) -> Result<(), StoreError> {
    check_version(bytes, path)?;
    let Some(head) = bytes.get(..HEADER_BYTES).filter(|head| head[..8] == MAGIC) else { return Ok(()) };
    let whose = HomeId(head[12..28].try_into().expect("sixteen bytes were cut out"));
    let any_of_ours = frame::search(bytes, HEADER_BYTES, home).is_some();
    if whose != home && !any_of_ours && bytes.len() > HEADER_BYTES {
        return Err(StoreError::OtherHome { path: path.into() });
    }
    Ok(())
}

/// Finds every whole frame, every gap, and a torn tail.
pub fn scan(bytes: &[u8], kind: JournalKind, home: HomeId, number: u32) -> Scan {
    let mut scan = Scan::default();
    let mut at = HEADER_BYTES;
    if !is_header(bytes, kind, home, number) {
        match frame::search(bytes, 0, home) {
            Some(found) => {
                scan.gaps.push((0, found.offset));
                at = found.offset;
            }
            None => return Scan { torn_at: Some(0), ..Scan::default() },
        }
    }
    while at < bytes.len() {
        let next = frame::read(bytes, at, home).or_else(|| frame::search(bytes, at, home));
        let Some(found) = next else {
            scan.torn_at = Some(at);
            break;
        };
        if found.offset > at {
            scan.gaps.push((at, found.offset));
        }
        at = found.end();
        scan.frames.push(found);
    }
    scan
}
