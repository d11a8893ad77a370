//! The local socket: while a node serves, every other command of its home goes through it.
//!
//! Length-prefixed JSON of at most 1 MiB each way. The client reads and writes files; the server
//! never opens a path that a client names.

mod client;
mod server;

pub use client::{call, call_at};
pub use server::Server;

use std::path::PathBuf;

use serde::{Deserialize, Serialize};
use tokio::io::{AsyncRead, AsyncReadExt, AsyncWrite, AsyncWriteExt};

use crate::app::{Reply, Request};
use crate::error::Failure;
use crate::home::Home;

/// The longest message either way.
const MESSAGE_BYTES: usize = 1 << 20;
/// Version of program and messages; both ends must be the same build line.
const VERSION: &str = env!("CARGO_PKG_VERSION");

#[derive(Debug, Serialize, Deserialize)]
struct Call {
    version: String,
    id: u64,
    request: Request,
}

#[derive(Debug, Serialize, Deserialize)]
struct Return {
    version: String,
    id: u64,
    result: Result<Reply, Failure>,
}

/// Where the socket of a home is: the user's runtime folder, else the home itself.
fn path(home: &Home) -> PathBuf {
    path_below(home, std::env::var_os("XDG_RUNTIME_DIR").map(PathBuf::from))
}

/// Where the socket of a home is when the runtime folder is `runtime`.
pub fn path_below(home: &Home, runtime: Option<PathBuf>) -> PathBuf {
    let name = crate::hex::encode(&home.id().0);
    match runtime.filter(|folder| folder.is_absolute()) {
        Some(folder) => folder.join("propagule").join(format!("{name}.socket")),
        None => home.path().join("run").join("socket"),
    }
}

async fn send<T: Serialize>(stream: &mut (impl AsyncWrite + Unpin), message: &T) -> std::io::Result<()> {
    let bytes = serde_json::to_vec(message)?;
    if bytes.len() > MESSAGE_BYTES {
        return Err(std::io::Error::new(std::io::ErrorKind::InvalidData, "the message is longer than 1 MiB"));
    }
    stream.write_u32(bytes.len() as u32).await?;
    stream.write_all(&bytes).await?;
    stream.flush().await
}

async fn receive<T: for<'a> Deserialize<'a>>(stream: &mut (impl AsyncRead + Unpin)) -> std::io::Result<T> {
    let length = stream.read_u32().await? as usize;
    if length > MESSAGE_BYTES {
        return Err(std::io::Error::new(std::io::ErrorKind::InvalidData, "the message is longer than 1 MiB"));
    }
    let mut bytes = vec![0; length];
    stream.read_exact(&mut bytes).await?;
    serde_json::from_slice(&bytes).map_err(Into::into)
}
