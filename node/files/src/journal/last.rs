//! The segment that a journal goes on in: its torn tail is moved aside when it is opened.

use std::fs::File;
use std::io::Write;
use std::path::Path;

use super::damage::{Damage, acknowledged_in, damages};
use super::end::Reach;
use super::segment::{self, HEADER_BYTES};
use super::{FORMAT_VERSION, HomeId, JournalKind};
use crate::error::{StoreError, io_error};

/// The segment that a journal goes on in.
pub(super) struct Last {
    pub(super) number: u32,
    pub(super) file: File,
    pub(super) length: u64,
    /// The format that its header says.
    pub(super) version: u16,
}

/// Opens the last segment: a torn tail is moved aside, and a tail that is not there any more is named.
pub(super) fn open_last(
    folder: &Path,
    kind: JournalKind,
    home: HomeId,
    number: u32,
    reach: Option<Reach>,
) -> Result<(Last, Vec<Damage>), StoreError> {
    let path = segment::path(folder, kind, number);
    let mut file = segment::open(&path)?;
    let bytes = segment::read_all(&mut file, &path)?;
    segment::check_header(&bytes, home, &path)?;
    let scan = segment::scan(&bytes, kind, home, number);
    let mut damage = damages(&path, &scan, bytes.len(), acknowledged_in(number, reach));
    // A header that is damaged is of no version: nothing is written behind it.
    let version = bytes.get(..HEADER_BYTES).map_or(0, segment::version).min(FORMAT_VERSION);
    let Some(torn_at) = scan.torn_at else {
        return Ok((Last { number, file, length: bytes.len() as u64, version }, damage));
    };
    let aside = move_aside(folder, kind, number, torn_at, &bytes[torn_at..])?;
    file.set_len(torn_at as u64).map_err(|e| io_error("cut", &path, e))?;
    file.sync_all().map_err(|e| io_error("flush", &path, e))?;
    if let Some(torn) = damage.iter_mut().find(|damage| damage.from == torn_at as u64) {
        torn.moved_to = Some(aside);
    }
    Ok((Last { number, file, length: torn_at as u64, version }, damage))
}

fn move_aside(
    folder: &Path,
    kind: JournalKind,
    number: u32,
    at: usize,
    tail: &[u8],
) -> Result<String, StoreError> {
    for attempt in 0.. {
        let name = format!("{}-{number:06}-torn-{at}-{attempt}.bytes", kind.stem());
        let path = folder.join(&name);
        match File::create_new(&path) {
            Ok(mut file) => {
                file.write_all(tail)
                    .and_then(|()| file.sync_all())
                    .map_err(|e| io_error("write", &path, e))?;
                segment::sync_folder(folder)?;
                return Ok(name);
            }
            Err(e) if e.kind() == std::io::ErrorKind::AlreadyExists => {}
            Err(e) => return Err(io_error("create", &path, e)),
        }
    }
    unreachable!("an unused file name is found before the numbers end")
}
