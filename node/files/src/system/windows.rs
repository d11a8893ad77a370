//! Windows: named pipes, and files that the user's own folder keeps from others.

use std::ffi::OsStr;
use std::fs::{self, DirBuilder, File, OpenOptions, Permissions};
use std::io::{self, ErrorKind};
use std::os::windows::fs::FileExt;
use std::path::Path;
use std::pin::Pin;
use std::task::{Context, Poll};
use std::time::Duration;

use super::Access;
use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};
use tokio::net::windows::named_pipe::{ClientOptions, NamedPipeClient, NamedPipeServer, ServerOptions};
use tokio::signal::windows::{CtrlBreak, CtrlC, CtrlClose, CtrlLogoff, CtrlShutdown};
use tokio::signal::windows::{ctrl_break, ctrl_c, ctrl_close, ctrl_logoff, ctrl_shutdown};
use tokio::sync::Mutex;

/// What Windows answers while every instance of a pipe is taken (`ERROR_PIPE_BUSY`).
const EVERY_INSTANCE_IS_TAKEN: i32 = 231;
/// Between two tries; tokio offers no event for a free instance.
const RETRY: Duration = Duration::from_millis(20);
/// How often that is tried: five seconds in all.
const TRIES: u32 = 250;

/// A connection cannot go out from the port at which this process listens: binding it twice is refused or, where it is
/// not, lets another process take over the listener (`SO_REUSEADDR` of Winsock).
pub const SHARES_LISTENING_PORTS: bool = false;

/// None: a file takes over who may use its folder.
pub(super) fn permissions(_: Access) -> Option<Permissions> {
    None
}

/// Makes a folder, with its parents; below the user's own folder others cannot enter it.
pub fn private_folder(path: &Path) -> io::Result<()> {
    DirBuilder::new().recursive(true).create(path)
}

/// Makes a file that is not there yet; below the user's own folder others cannot read it.
pub fn create_private(path: &Path) -> io::Result<File> {
    OpenOptions::new().write(true).create_new(true).open(path)
}

/// None: who may use a file is a list of its folder here, which no bits can tell.
pub fn open_to_others(path: &Path) -> io::Result<Option<String>> {
    fs::metadata(path).map(|_| None)
}

/// None: files have no such bits here.
pub fn mode_bits(_: &Path) -> Option<u32> {
    None
}

/// Nothing to do: the user's own folder keeps others out.
pub fn close_to_others(path: &Path) -> io::Result<()> {
    fs::metadata(path).map(|_| ())
}

/// Nothing to do: names of files are in the file system's own log, and a folder cannot be flushed.
pub fn sync_folder(path: &Path) -> io::Result<()> {
    fs::metadata(path).map(|_| ())
}

/// Fills `bytes` from a place in a file.
pub fn read_exact_at(file: &File, mut bytes: &mut [u8], mut offset: u64) -> io::Result<()> {
    while !bytes.is_empty() {
        match file.seek_read(bytes, offset) {
            Ok(0) => return Err(ErrorKind::UnexpectedEof.into()),
            Ok(read) => {
                bytes = &mut bytes[read..];
                offset += read as u64;
            }
            Err(e) if e.kind() == ErrorKind::Interrupted => {}
            Err(e) => return Err(e),
        }
    }
    Ok(())
}

/// Writes all of `bytes` at a place in a file.
pub fn write_all_at(file: &File, mut bytes: &[u8], mut offset: u64) -> io::Result<()> {
    while !bytes.is_empty() {
        match file.seek_write(bytes, offset) {
            Ok(0) => return Err(ErrorKind::WriteZero.into()),
            Ok(written) => {
                bytes = &bytes[written..];
                offset += written as u64;
            }
            Err(e) if e.kind() == ErrorKind::Interrupted => {}
            Err(e) => return Err(e),
        }
    }
    Ok(())
}

/// Bytes that may still be written where `path` lies.
pub fn free_bytes(path: &Path) -> io::Result<u64> {
    fs2::available_space(path)
}

/// None: the system has no such limit for what this program opens.
pub fn open_files(_: u64) -> Option<u64> {
    None
}

/// Always the reason why not: no process can take the place of another here.
pub fn restart_in_place(_: &str, _: impl AsRef<OsStr>) -> io::Error {
    ErrorKind::Unsupported.into()
}

/// Where other processes of this machine connect: a pipe whose name nobody can guess, which stands in a file that only
/// the user can read. So no other user can connect, nor pretend to be the listener.
#[derive(Debug)]
pub struct LocalListener {
    name: String,
    next: Mutex<NamedPipeServer>,
}

impl LocalListener {
    /// Makes the pipe and writes its name to `path`.
    pub fn bind(path: &Path) -> io::Result<Self> {
        let mut secret = [0; 16];
        getrandom::fill(&mut secret).map_err(|e| io::Error::other(e.to_string()))?;
        let name = format!(r"\\.\pipe\propagule-{}", crate::hex::encode(&secret));
        let next =
            ServerOptions::new().first_pipe_instance(true).reject_remote_clients(true).create(&name)?;
        create_private(path).and_then(|mut file| io::Write::write_all(&mut file, name.as_bytes()))?;
        Ok(Self { name, next: Mutex::new(next) })
    }

    /// The next connection; one that was waited for when the future was dropped is not lost.
    pub async fn accept(&self) -> io::Result<(LocalStream, ())> {
        let mut next = self.next.lock().await;
        next.connect().await?;
        // The next instance stands before this one is handed out, so that nobody finds no pipe.
        let after = ServerOptions::new().reject_remote_clients(true).create(&self.name)?;
        Ok((LocalStream::Accepted(std::mem::replace(&mut next, after)), ()))
    }
}

/// A connection of another process of this machine.
#[derive(Debug)]
pub enum LocalStream {
    /// Made by another process.
    Accepted(NamedPipeServer),
    /// Made by this process.
    Made(NamedPipeClient),
}

/// Connects to where another process of this machine listens.
pub async fn connect(path: &Path) -> io::Result<LocalStream> {
    let name = fs::read_to_string(path)?;
    for _ in 0..TRIES {
        match ClientOptions::new().open(&name) {
            Err(e) if e.raw_os_error() == Some(EVERY_INSTANCE_IS_TAKEN) => tokio::time::sleep(RETRY).await,
            opened => return opened.map(LocalStream::Made),
        }
    }
    Err(ErrorKind::TimedOut.into())
}

/// Always: nobody else can read the name of the pipe.
pub fn is_of_this_user(_: &LocalStream) -> io::Result<bool> {
    Ok(true)
}

impl AsyncRead for LocalStream {
    fn poll_read(
        self: Pin<&mut Self>,
        context: &mut Context<'_>,
        buffer: &mut ReadBuf<'_>,
    ) -> Poll<io::Result<()>> {
        match self.get_mut() {
            Self::Accepted(pipe) => Pin::new(pipe).poll_read(context, buffer),
            Self::Made(pipe) => Pin::new(pipe).poll_read(context, buffer),
        }
    }
}

impl AsyncWrite for LocalStream {
    fn poll_write(self: Pin<&mut Self>, context: &mut Context<'_>, bytes: &[u8]) -> Poll<io::Result<usize>> {
        match self.get_mut() {
            Self::Accepted(pipe) => Pin::new(pipe).poll_write(context, bytes),
            Self::Made(pipe) => Pin::new(pipe).poll_write(context, bytes),
        }
    }

    fn poll_flush(self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        match self.get_mut() {
            Self::Accepted(pipe) => Pin::new(pipe).poll_flush(context),
            Self::Made(pipe) => Pin::new(pipe).poll_flush(context),
        }
    }

    fn poll_shutdown(self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        match self.get_mut() {
            Self::Accepted(pipe) => Pin::new(pipe).poll_shutdown(context),
            Self::Made(pipe) => Pin::new(pipe).poll_shutdown(context),
        }
    }
}

/// Requests of the system and of the user to end.
#[derive(Debug)]
pub struct Terminations {
    interrupt: CtrlC,
    stop: CtrlBreak,
    close: CtrlClose,
    logoff: CtrlLogoff,
    shutdown: CtrlShutdown,
}

impl Terminations {
    /// Listens for them from now on.
    ///
    /// # Errors
    /// When the system does not let this process.
    pub fn listen() -> io::Result<Self> {
        Ok(Self {
            interrupt: ctrl_c()?,
            stop: ctrl_break()?,
            close: ctrl_close()?,
            logoff: ctrl_logoff()?,
            shutdown: ctrl_shutdown()?,
        })
    }

    /// Waits for the next.
    pub async fn next(&mut self) {
        tokio::select! {
            _ = self.interrupt.recv() => {}
            _ = self.stop.recv() => {}
            _ = self.close.recv() => {}
            _ = self.logoff.recv() => {}
            _ = self.shutdown.recv() => {}
        }
    }
}
