//! Archives: everything that a home cannot get back from others goes into one file, and back into a home.

mod gather;
mod last;
pub mod restore;
#[cfg(test)]
mod tests;

use base64::Engine;
use base64::engine::general_purpose::STANDARD;

use super::outcome::Outcome;
use super::outcome::archive::ArchiveMade;
use super::{App, Reply};
use crate::home::Archived;
use propagule_bench::archive::{Manifest, pack};
use propagule_files::fault::Fault;

pub(super) use last::last_archive;
pub use last::owed;
pub use restore::restore;

/// The largest archive that is handed over: as text it fits into a message of the socket.
const MOST_BYTES: usize = 90 << 20;

/// Makes an archive of the home.
pub(super) fn make(app: &App, with_keys: bool) -> Result<Reply, Fault> {
    let files = gather::everything(app, with_keys)?;
    let made_on = app.clock().today().to_string();
    let manifest = Manifest::of(&files, app.home().id().0, app.home().network_name(), made_on);
    let zip = pack(&manifest, &files)?;
    if zip.len() > MOST_BYTES {
        let (zip, most) = (zip.len() >> 20, MOST_BYTES >> 20);
        return Err(Fault::user("archive-exceeds-limit").with("zip", zip).with("most", most));
    }
    let made = Box::new(Outcome::ArchiveMade(ArchiveMade { archive: manifest, with_keys }));
    Ok(Reply::Archive { zip: STANDARD.encode(zip), made })
}

/// The bytes of a reply's archive.
///
/// # Errors
/// When the node sent something else.
pub fn bytes_of(zip: &str) -> Result<Vec<u8>, Fault> {
    STANDARD.decode(zip).map_err(|e| Fault::environment("archive-not-sent").because(e))
}

/// Remembers that an archive was written today.
pub(super) fn written(app: &App) -> Result<Reply, Fault> {
    let archived = Archived { last: Some(app.clock().today_date()), ..Archived::read(app.home().path())? };
    archived.write(app.home().path())?;
    Ok(Reply::Noted)
}
