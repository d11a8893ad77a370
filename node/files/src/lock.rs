//! One process owns a home: an advisory lock that names its holder, and waits a little for it.

use std::fs::{File, OpenOptions, TryLockError};
use std::io::{Read, Seek, Write};
use std::path::Path;
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
        let path = home.join("lock");
        let mut file = OpenOptions::new()
            .read(true)
            .write(true)
            .create(true)
            .truncate(false)
            .open(&path)
            .map_err(|e| Fault::file("open", &path, e))?;
        let until = Instant::now() + patience;
        loop {
            match file.try_lock() {
                Ok(()) => break,
                Err(TryLockError::WouldBlock) if Instant::now() < until => std::thread::sleep(RETRY),
                Err(TryLockError::WouldBlock) => return Err(busy(home, &mut file)),
                Err(TryLockError::Error(e)) => return Err(Fault::file("lock", &path, e)),
            }
        }
        let holder = Holder { process: std::process::id(), command: command.to_owned() };
        let text = serde_json::to_string(&holder).expect("plain fields serialise");
        file.set_len(0)
            .and_then(|()| file.rewind())
            .and_then(|()| file.write_all(text.as_bytes()))
            .map_err(|e| Fault::file("write", &path, e))?;
        Ok(Self { _file: file })
    }
}

fn busy(home: &Path, file: &mut File) -> Fault {
    let holder = holder(file);
    match holder {
        None => Fault::busy("home-in-use").with("home", home.display()),
        Some(holder) => Fault::busy("home-in-use-by-process")
            .with("home", home.display())
            .with("process", holder.process)
            .with("command", holder.command),
    }
}

fn holder(file: &mut File) -> Option<Holder> {
    let mut text = String::new();
    file.rewind().ok()?;
    file.read_to_string(&mut text).ok()?;
    serde_json::from_str(&text).ok()
}
