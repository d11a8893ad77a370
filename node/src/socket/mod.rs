//! The local socket: while a node serves, every other command of its home goes through it.
//!
//! Length-prefixed JSON each way, in parts of at most 1 MiB. The client reads and writes files; the
//! server never opens a path that a client names.

mod client;
mod server;

pub use client::{call, call_at};
pub use server::Server;

use serde::{Deserialize, Serialize};
use tokio::io::{AsyncRead, AsyncReadExt, AsyncWrite, AsyncWriteExt};

use propagule_app::home::socket_path as path;
use propagule_app::{Reply, Request};
use propagule_files::fault::Fault;

/// The longest part of a message.
const PART_BYTES: usize = 1 << 20;
/// The longest message either way; a table of the largest size fits.
const MESSAGE_BYTES: usize = 128 << 20;
/// Set in the length of a part behind which another one follows.
const MORE: u32 = 1 << 31;
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
    result: Result<Reply, Fault>,
}

async fn send<T: Serialize>(stream: &mut (impl AsyncWrite + Unpin), message: &T) -> std::io::Result<()> {
    let bytes = serde_json::to_vec(message)?;
    if bytes.len() > MESSAGE_BYTES {
        return Err(too_long());
    }
    let mut parts = bytes.chunks(PART_BYTES).peekable();
    while let Some(part) = parts.next() {
        let more = if parts.peek().is_some() { MORE } else { 0 };
        stream.write_u32(part.len() as u32 | more).await?;
        stream.write_all(part).await?;
    }
    stream.flush().await
}

async fn receive<T: for<'a> Deserialize<'a>>(stream: &mut (impl AsyncRead + Unpin)) -> std::io::Result<T> {
    let mut bytes = Vec::new();
    loop {
        let length = stream.read_u32().await?;
        let (part, start) = ((length & !MORE) as usize, bytes.len());
        if part > PART_BYTES || start + part > MESSAGE_BYTES {
            return Err(too_long());
        }
        bytes.resize(start + part, 0);
        stream.read_exact(&mut bytes[start..]).await?;
        if length & MORE == 0 {
            return serde_json::from_slice(&bytes).map_err(Into::into);
        }
    }
}

/// Reads what a command sends; for fuzzing.
#[cfg(any(test, fuzzing))]
pub(crate) async fn receive_call(stream: &mut (impl AsyncRead + Unpin)) -> std::io::Result<()> {
    receive::<Call>(stream).await.map(drop)
}

fn too_long() -> std::io::Error {
    std::io::Error::new(std::io::ErrorKind::InvalidData, "the message is too long")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[tokio::test]
    async fn a_message_of_several_parts_arrives_whole() {
        for length in [0, PART_BYTES - 2, PART_BYTES - 1, 3 * PART_BYTES] {
            let message = "x".repeat(length);
            let (mut one, mut other) = tokio::io::duplex(1 << 16);
            let (sent, received) = tokio::join!(send(&mut one, &message), receive::<String>(&mut other));
            sent.expect("sent");
            assert_eq!(received.expect("received").len(), length);
        }
    }

    #[tokio::test]
    async fn a_part_that_claims_too_much_is_refused_before_memory_is_taken() {
        let (mut one, mut other) = tokio::io::duplex(64);
        one.write_u32(MORE - 1).await.expect("sent");
        let error = receive::<String>(&mut other).await.expect_err("refused");
        assert_eq!(error.kind(), std::io::ErrorKind::InvalidData);
    }
}
