//! Unix: modes of files, sockets in the file system, signals.

use std::ffi::OsStr;
use std::fs::{self, DirBuilder, File, OpenOptions, Permissions};
use std::io;
use std::os::unix::fs::{DirBuilderExt, FileExt, OpenOptionsExt, PermissionsExt};
use std::os::unix::process::CommandExt;
use std::path::Path;
use std::process::Command;

use super::Access;
use tokio::signal::unix::{Signal, SignalKind, signal};

/// Where other processes of this machine connect.
pub type LocalListener = tokio::net::UnixListener;
/// A connection of another process of this machine.
pub type LocalStream = tokio::net::UnixStream;

/// Whether a connection may go out from the port at which this process listens.
pub const SHARES_LISTENING_PORTS: bool = true;

/// As the system writes who may use a file that is made.
#[expect(
    clippy::unnecessary_wraps,
    reason = "the list of who may use a file is one for all systems; another has none to give"
)]
pub(super) fn permissions(access: Access) -> Option<Permissions> {
    Some(Permissions::from_mode(match access {
        Access::Owner => 0o600,
        Access::Usual => 0o666,
    }))
}

/// Makes a folder, with its parents, that only its owner can enter.
pub fn private_folder(path: &Path) -> io::Result<()> {
    DirBuilder::new().recursive(true).mode(0o700).create(path)
}

/// Makes a file that only its owner can use, and that is not there yet.
pub fn create_private(path: &Path) -> io::Result<File> {
    OpenOptions::new().write(true).create_new(true).mode(0o600).open(path)
}

/// How others may use a file, as the system writes it; none where they may not.
pub fn open_to_others(path: &Path) -> io::Result<Option<String>> {
    let mode = fs::metadata(path)?.permissions().mode() & 0o777;
    Ok((mode & 0o077 != 0).then(|| format!("mode {mode:03o}")))
}

/// The permission bits of a file, where the system has such; none where there is no such file.
pub fn mode_bits(path: &Path) -> Option<u32> {
    fs::metadata(path).ok().map(|found| found.permissions().mode() & 0o777)
}

/// Leaves a file or folder to its owner alone.
pub fn close_to_others(path: &Path) -> io::Result<()> {
    let mode = if fs::metadata(path)?.is_dir() { 0o700 } else { 0o600 };
    fs::set_permissions(path, Permissions::from_mode(mode))
}

/// Flushes a folder's entries to disk.
pub fn sync_folder(path: &Path) -> io::Result<()> {
    File::open(path)?.sync_all()
}

/// Fills `bytes` from a place in a file, wherever it was read last.
pub fn read_exact_at(file: &File, bytes: &mut [u8], offset: u64) -> io::Result<()> {
    file.read_exact_at(bytes, offset)
}

/// Writes all of `bytes` at a place in a file, wherever it was written last.
pub fn write_all_at(file: &File, bytes: &[u8], offset: u64) -> io::Result<()> {
    file.write_all_at(bytes, offset)
}

/// Bytes that may still be written where `path` lies.
pub fn free_bytes(path: &Path) -> io::Result<u64> {
    let found = rustix::fs::statvfs(path)?;
    Ok(found.f_bavail.saturating_mul(found.f_frsize))
}

/// How many files, connections among them, this process may have open; raised as far as the system lets it, to `wanted` at
/// most. None where there is no limit.
pub fn open_files(wanted: u64) -> Option<u64> {
    use rustix::process::{Resource, Rlimit, getrlimit, setrlimit};

    let Rlimit { current, maximum } = getrlimit(Resource::Nofile);
    let current = current?;
    let raised = maximum.unwrap_or(wanted).min(wanted);
    let limit = Rlimit { current: Some(raised), maximum };
    if raised > current && setrlimit(Resource::Nofile, limit).is_ok() { Some(raised) } else { Some(current) }
}

/// Starts this process anew with one more variable in its environment and the same id; comes back only with the reason
/// why that cannot be done.
pub fn restart_in_place(variable: &str, value: impl AsRef<OsStr>) -> io::Error {
    let program = match std::env::current_exe() {
        Ok(program) => program,
        Err(error) => return error,
    };
    let mut words = std::env::args_os();
    let name = words.next().unwrap_or_else(|| program.clone().into());
    Command::new(program).arg0(name).args(words).env(variable, value).exec()
}

/// Connects to where another process of this machine listens.
pub async fn connect(path: &Path) -> io::Result<LocalStream> {
    LocalStream::connect(path).await
}

/// Whether the other end belongs to the user of this process.
pub fn is_of_this_user(stream: &LocalStream) -> io::Result<bool> {
    Ok(stream.peer_cred()?.uid() == rustix::process::geteuid().as_raw())
}

/// Requests of the system and of the user to end.
#[derive(Debug)]
pub struct Terminations {
    interrupt: Signal,
    terminate: Signal,
}

impl Terminations {
    /// Listens for them from now on.
    ///
    /// # Errors
    /// When the system does not let this process.
    pub fn listen() -> io::Result<Self> {
        Ok(Self { interrupt: signal(SignalKind::interrupt())?, terminate: signal(SignalKind::terminate())? })
    }

    /// Waits for the next.
    pub async fn next(&mut self) {
        tokio::select! {
            _ = self.interrupt.recv() => {}
            _ = self.terminate.recv() => {}
        }
    }
}
