//! Tables that a command names.

use std::fs::File;
use std::io::Read;
use std::path::Path;

use propagule_files::fault::Fault;

/// The largest file that is read as a table.
const MOST_BYTES: u64 = 32 << 20;

/// The bytes of a table's file.
pub(super) fn read_table(path: &Path) -> Result<Vec<u8>, Fault> {
    let mut bytes = Vec::new();
    if path == Path::new("-") {
        std::io::stdin()
            .lock()
            .take(MOST_BYTES + 1)
            .read_to_end(&mut bytes)
            .map_err(|e| Fault::environment("piped-input-unreadable").because(e))?;
        return checked(path, bytes);
    }
    File::open(path)
        .and_then(|file| file.take(MOST_BYTES + 1).read_to_end(&mut bytes))
        .map_err(|e| Fault::file("read", path, e))?;
    checked(path, bytes)
}

fn checked(path: &Path, bytes: Vec<u8>) -> Result<Vec<u8>, Fault> {
    if bytes.len() as u64 <= MOST_BYTES {
        return Ok(bytes);
    }
    let most = MOST_BYTES >> 20;
    Err(Fault::user("table-too-large").with("path", path.display()).with("most", most))
}
