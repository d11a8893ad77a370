//! A home is put back in a folder beside its place, which takes the place once it is whole.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::Duration;

use super::{Home, HomeLock, Identity, hex, keys, make_private_folder, replace_file};
use propagule_files::fault::Fault;
use propagule_files::journal::{FORMAT_VERSION, HomeId};
use propagule_files::lock::holder_path;
use propagule_files::system::sync_folder;

/// A home that is being put back; what is not whole in the end is thrown away.
#[derive(Debug)]
pub struct Restoring {
    place: PathBuf,
    beside: PathBuf,
    /// Beside the folder, not in it: some systems rename no folder in which a file is open.
    lock_path: PathBuf,
    lock: Option<HomeLock>,
    is_done: bool,
}

impl Restoring {
    /// Begins beside `place`, in which there must be nothing yet.
    ///
    /// # Errors
    /// When something is there, or the folder cannot be made.
    pub fn begin(place: &Path, command: &str) -> Result<Self, Fault> {
        if Home::exists(place) {
            return Err(Fault::user("home-exists").with("place", place.display()));
        }
        if fs::read_dir(place).is_ok_and(|mut entries| entries.next().is_some()) || place.is_file() {
            return Err(Fault::user("folder-not-empty").with("place", place.display()));
        }
        let name = place.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        if name.is_empty() {
            return Err(Fault::usage("folder-unusable").with("place", place.display()));
        }
        let beside = place.with_file_name(format!(".{name}.restoring"));
        make_private_folder(&beside)?;
        let lock_path = place.with_file_name(format!(".{name}.restoring.lock"));
        let lock = HomeLock::take_by(&lock_path, place, command, Duration::ZERO)?;
        // What a run left there that was broken off was never a home.
        clear(&beside)?;
        Ok(Self { place: place.into(), beside, lock_path, lock: Some(lock), is_done: false })
    }

    /// The folder in which it is put together.
    pub fn folder(&self) -> &Path {
        &self.beside
    }

    /// Writes a key as it was.
    ///
    /// # Errors
    /// When it is none, or cannot be written.
    pub fn put_key(&self, name: &str, text: &[u8]) -> Result<(), Fault> {
        let folder = self.beside.join("keys");
        make_private_folder(&folder)?;
        let bytes = std::str::from_utf8(text).ok().and_then(|text| hex::decode(text.trim()));
        let key: [u8; 32] = bytes
            .and_then(|bytes| bytes.try_into().ok())
            .ok_or_else(|| Fault::user("archive-key-damaged").with("name", name))?;
        keys::write_new(&folder.join(name), &key)
    }

    /// Writes a file beside the journals.
    ///
    /// # Errors
    /// When it cannot be written.
    pub fn put_file(&self, name: &str, content: &[u8]) -> Result<(), Fault> {
        Ok(replace_file(&self.beside.join(name), content)?)
    }

    /// Makes what is missing of keys, gives the folder its name as a home, and puts it in its place.
    ///
    /// # Errors
    /// When the files cannot be written; then there is no home.
    pub fn finish(mut self, id: HomeId, network: &str) -> Result<(), Fault> {
        make_private_folder(&self.beside.join("keys"))?;
        keys::create(&self.beside)?;
        let identity =
            Identity { format: FORMAT_VERSION, home_id: hex::encode(&id.0), network: network.to_owned() };
        let text = serde_json::to_string_pretty(&identity).expect("plain text fields serialise");
        replace_file(&self.beside.join("home.json"), text.as_bytes())?;
        let moved = sync_folder(&self.beside).and_then(|()| fs::rename(&self.beside, &self.place));
        moved.map_err(|e| Fault::file("make", &self.place, e).hint_named("look-what-is-there"))?;
        self.is_done = true;
        Ok(())
    }
}

impl Drop for Restoring {
    fn drop(&mut self) {
        // The next run throws away what is left.
        if !self.is_done {
            let _ = fs::remove_dir_all(&self.beside);
        }
        let _ = fs::remove_file(holder_path(&self.lock_path));
        self.lock = None;
        let _ = fs::remove_file(&self.lock_path);
    }
}

/// Removes everything in a folder.
fn clear(folder: &Path) -> Result<(), Fault> {
    for entry in fs::read_dir(folder).map_err(|e| Fault::file("list", folder, e))?.flatten() {
        let path = entry.path();
        let removed = if path.is_dir() { fs::remove_dir_all(&path) } else { fs::remove_file(&path) };
        removed.map_err(|e| Fault::file("remove", &path, e))?;
    }
    Ok(())
}
