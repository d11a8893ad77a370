//! Messages of the exchange protocol on a stream: a length of four bytes, then the message.

use std::io;

use futures::{AsyncRead, AsyncReadExt, AsyncWrite, AsyncWriteExt};
use libp2p::StreamProtocol;
use libp2p::request_response;

use crate::limits::{QUESTION_BYTES, REPLY_BYTES};
use crate::sync::{Question, Reply};

/// Reads and writes exchange messages.
#[derive(Clone, Debug, Default)]
pub(super) struct ExchangeCodec;

impl request_response::Codec for ExchangeCodec {
    type Protocol = StreamProtocol;
    type Request = Question;
    type Response = Reply;

    async fn read_request<T>(&mut self, _: &StreamProtocol, io: &mut T) -> io::Result<Question>
    where
        T: AsyncRead + Unpin + Send,
    {
        Question::decode(&read_limited(io, QUESTION_BYTES).await?).map_err(invalid)
    }

    async fn read_response<T>(&mut self, _: &StreamProtocol, io: &mut T) -> io::Result<Reply>
    where
        T: AsyncRead + Unpin + Send,
    {
        Reply::decode(&read_limited(io, REPLY_BYTES).await?).map_err(invalid)
    }

    async fn write_request<T>(&mut self, _: &StreamProtocol, io: &mut T, question: Question) -> io::Result<()>
    where
        T: AsyncWrite + Unpin + Send,
    {
        write_framed(io, &question.encode()).await
    }

    async fn write_response<T>(&mut self, _: &StreamProtocol, io: &mut T, reply: Reply) -> io::Result<()>
    where
        T: AsyncWrite + Unpin + Send,
    {
        write_framed(io, &reply.encode()).await
    }
}

async fn read_limited<T: AsyncRead + Unpin>(io: &mut T, limit: usize) -> io::Result<Vec<u8>> {
    let mut length = [0; 4];
    io.read_exact(&mut length).await?;
    let length = u32::from_be_bytes(length) as usize;
    if length > limit {
        return Err(io::Error::new(io::ErrorKind::InvalidData, "the message is longer than the limit"));
    }
    let mut message = vec![0; length];
    io.read_exact(&mut message).await?;
    Ok(message)
}

async fn write_framed<T: AsyncWrite + Unpin>(io: &mut T, message: &[u8]) -> io::Result<()> {
    io.write_all(&(message.len() as u32).to_be_bytes()).await?;
    io.write_all(message).await?;
    io.close().await
}

fn invalid(error: impl std::error::Error + Send + Sync + 'static) -> io::Error {
    io::Error::new(io::ErrorKind::InvalidData, error)
}

#[cfg(test)]
mod tests {
    use futures::io::Cursor;
    use libp2p::request_response::Codec;

    use super::*;

    #[tokio::test]
    async fn a_message_that_claims_more_than_its_limit_is_refused_before_memory_is_taken() {
        for limit in [QUESTION_BYTES, REPLY_BYTES] {
            for (claimed, is_read) in [(limit, true), (limit + 1, false), (u32::MAX as usize, false)] {
                let length = (claimed as u32).to_be_bytes();
                let body = vec![0; if is_read { claimed } else { 0 }];
                let read = read_limited(&mut Cursor::new([&length[..], &body].concat()), limit).await;
                assert_eq!(read.is_ok(), is_read, "{claimed} of {limit}");
                let is_blamed = read.is_err_and(|error| error.kind() == io::ErrorKind::InvalidData);
                assert_eq!(is_blamed, !is_read);
            }
        }
    }

    /// What is refused for its length is not waited for; nothing follows the length here.
    #[tokio::test]
    async fn questions_and_replies_have_each_their_own_limit() {
        let (mut codec, protocol) = (ExchangeCodec, StreamProtocol::new("/test/1"));
        for (beyond, kind) in [(0, io::ErrorKind::UnexpectedEof), (1, io::ErrorKind::InvalidData)] {
            let length = |limit: usize| Cursor::new(((limit + beyond) as u32).to_be_bytes());
            let question = codec.read_request(&protocol, &mut length(QUESTION_BYTES)).await;
            assert_eq!(question.expect_err("nothing follows").kind(), kind);
            let reply = codec.read_response(&protocol, &mut length(REPLY_BYTES)).await;
            assert_eq!(reply.expect_err("nothing follows").kind(), kind);
        }
    }
}
