//! One process owns a home: an advisory lock that names its holder, and waits a little for it.

use std::fs::{self, File, OpenOptions, TryLockError};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use serde::{Deserialize, Serialize};

use crate::fault::Fault;

/// Between two tries; the system offers no event for a released lock with a time limit.
const RETRY: Duration = Duration::from_millis(20);

/// Who holds a home.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Holder {
    /// Process number.
    pub process: u32,
    /// What it does, as typed.
    pub command: String,
}

/// Ownership of a home, until dropped.
#[derive(Debug)]
pub struct HomeLock {
    _file: File,
}

impl HomeLock {
    /// Takes the home at `home`, which may be about to be made, waiting up to `patience` for another process to finish.
    ///
    /// # Errors
    /// When another process keeps it, named; or when the lock file cannot be used.
    pub fn take(home: &Path, command: &str, patience: Duration) -> Result<Self, Fault> {
        Self::take_by(&home.join("lock"), home, command, patience)
    }

    /// Takes the home at `home` by a lock file that lies elsewhere, waiting as [`Self::take`] does.
    ///
    /// # Errors
    /// As for [`Self::take`].
    pub fn take_by(path: &Path, home: &Path, command: &str, patience: Duration) -> Result<Self, Fault> {
        let file = OpenOptions::new()
            .write(true)
            .create(true)
            .truncate(false)
            .open(path)
            .map_err(|e| Fault::file("open", path, e))?;
        let until = Instant::now() + patience;
        loop {
            match file.try_lock() {
                Ok(()) => break,
                Err(TryLockError::WouldBlock) if Instant::now() < until => std::thread::sleep(RETRY),
                Err(TryLockError::WouldBlock) => return Err(busy(home, path)),
                Err(TryLockError::Error(e)) => return Err(Fault::file("lock", path, e)),
            }
        }
        let holder = Holder { process: std::process::id(), command: command.to_owned() };
        let text = serde_json::to_string(&holder).expect("plain fields serialise");
        let beside = holder_path(path);
        fs::write(&beside, text).map_err(|e| Fault::file("write", &beside, e))?;
        Ok(Self { _file: file })
    }
}

/// Who holds a lock stands beside it: some systems let nobody read a file that is locked.
pub fn holder_path(lock: &Path) -> PathBuf {
    lock.with_extension("holder")
}

fn busy(home: &Path, lock: &Path) -> Fault {
    match holder(lock) {
        None => Fault::busy("home-in-use").with("home", home.display()),
        Some(holder) => Fault::busy("home-in-use-by-process")
            .with("home", home.display())
            .with("process", holder.process)
            .with("command", holder.command),
    }
}

fn holder(lock: &Path) -> Option<Holder> {
    serde_json::from_str(&fs::read_to_string(holder_path(lock)).ok()?).ok()
}
