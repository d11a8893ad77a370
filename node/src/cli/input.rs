//! Tables that a command names.

use std::fs::File;
use std::io::Read;
use std::path::Path;

use propagule_files::failure::Failure;

/// The largest file that is read as a table.
const MOST_BYTES: u64 = 32 << 20;

/// The bytes of a table's file.
pub(super) fn read_table(path: &Path) -> Result<Vec<u8>, Failure> {
    let mut bytes = Vec::new();
    if path == Path::new("-") {
        std::io::stdin().lock().take(MOST_BYTES + 1).read_to_end(&mut bytes).map_err(|e| {
            Failure::environment("cannot read what is piped in", e).hint("save the table and name its file")
        })?;
        return checked(path, bytes);
    }
    File::open(path)
        .and_then(|file| file.take(MOST_BYTES + 1).read_to_end(&mut bytes))
        .map_err(|e| Failure::file("read", path, e))?;
    checked(path, bytes)
}

fn checked(path: &Path, bytes: Vec<u8>) -> Result<Vec<u8>, Failure> {
    if bytes.len() as u64 <= MOST_BYTES {
        return Ok(bytes);
    }
    let most = MOST_BYTES >> 20;
    Err(Failure::expected(format!("{} has more than {most} MiB, too much for a table", path.display()))
        .hint("split it, with the line of column names above each part"))
}
