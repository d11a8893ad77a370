//! Messages of the exchange protocol on a stream: a length of four bytes, then the message.

use std::io;

use futures::{AsyncRead, AsyncReadExt, AsyncWrite, AsyncWriteExt};
use libp2p::StreamProtocol;
use libp2p::request_response;

use crate::limits::{QUESTION_BYTES, REPLY_BYTES};
use crate::sync::{Broken, NotAMessage, Question, Reply};

/// Reads and writes exchange messages.
#[derive(Clone, Debug, Default)]
pub(super) struct ExchangeCodec;

impl request_response::Codec for ExchangeCodec {
    type Protocol = StreamProtocol;
    /// What was broken is read too, since the library tells nobody when reading fails.
    type Request = Result<Question, Broken>;
    type Response = Result<Reply, Broken>;

    async fn read_request<T>(&mut self, _: &StreamProtocol, io: &mut T) -> io::Result<Self::Request>
    where
        T: AsyncRead + Unpin + Send,
    {
        let message = read_limited(io, QUESTION_BYTES).await?;
        Ok(message.and_then(|message| Question::decode(&message).map_err(|NotAMessage| Broken::Garbled)))
    }

    async fn read_response<T>(&mut self, _: &StreamProtocol, io: &mut T) -> io::Result<Self::Response>
    where
        T: AsyncRead + Unpin + Send,
    {
        let message = read_limited(io, REPLY_BYTES).await?;
        Ok(message.and_then(|message| Reply::decode(&message).map_err(|NotAMessage| Broken::Garbled)))
    }

    async fn write_request<T>(
        &mut self,
        _: &StreamProtocol,
        io: &mut T,
        question: Self::Request,
    ) -> io::Result<()>
    where
        T: AsyncWrite + Unpin + Send,
    {
        write_framed(io, &whole(question)?.encode()).await
    }

    async fn write_response<T>(
        &mut self,
        _: &StreamProtocol,
        io: &mut T,
        reply: Self::Response,
    ) -> io::Result<()>
    where
        T: AsyncWrite + Unpin + Send,
    {
        write_framed(io, &whole(reply)?.encode()).await
    }
}

/// Only what is whole is ever written.
fn whole<M>(message: Result<M, Broken>) -> io::Result<M> {
    message.map_err(|_| io::Error::from(io::ErrorKind::InvalidInput))
}

/// A message of at most `limit` bytes. A stream that ends before its first byte brings an error: nothing was said.
async fn read_limited<T: AsyncRead + Unpin>(io: &mut T, limit: usize) -> io::Result<Result<Vec<u8>, Broken>> {
    let mut length = [0; 4];
    if io.read(&mut length[..1]).await? == 0 {
        return Err(io::ErrorKind::UnexpectedEof.into());
    }
    if let Some(broken) = cut(io.read_exact(&mut length[1..]).await)? {
        return Ok(Err(broken));
    }
    let length = u32::from_be_bytes(length) as usize;
    if length > limit {
        return Ok(Err(Broken::TooLong));
    }
    let mut message = vec![0; length];
    Ok(cut(io.read_exact(&mut message).await)?.map_or(Ok(message), Err))
}

/// Whether reading ended with the stream.
fn cut(read: io::Result<()>) -> io::Result<Option<Broken>> {
    match read {
        Ok(()) => Ok(None),
        Err(error) if error.kind() == io::ErrorKind::UnexpectedEof => Ok(Some(Broken::Cut)),
        Err(error) => Err(error),
    }
}

async fn write_framed<T: AsyncWrite + Unpin>(io: &mut T, message: &[u8]) -> io::Result<()> {
    io.write_all(&(message.len() as u32).to_be_bytes()).await?;
    io.write_all(message).await?;
    io.close().await
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
                let read = read.expect("what is broken is read").map(|message| message.len());
                assert_eq!(read, if is_read { Ok(claimed) } else { Err(Broken::TooLong) }, "{claimed}");
            }
        }
    }

    /// What is refused for its length is not waited for; nothing follows the length here.
    #[tokio::test]
    async fn questions_and_replies_have_each_their_own_limit() {
        let (mut codec, protocol) = (ExchangeCodec, StreamProtocol::new("/test/1"));
        for (beyond, broken) in [(0, Broken::Cut), (1, Broken::TooLong)] {
            let length = |limit: usize| Cursor::new(((limit + beyond) as u32).to_be_bytes());
            let question = codec.read_request(&protocol, &mut length(QUESTION_BYTES)).await;
            assert_eq!(question.expect("it is read"), Err(broken));
            let reply = codec.read_response(&protocol, &mut length(REPLY_BYTES)).await;
            assert_eq!(reply.expect("it is read"), Err(broken));
        }
    }

    #[tokio::test]
    async fn a_stream_without_a_byte_says_nothing_and_one_that_ends_within_a_message_is_cut() {
        let (mut codec, protocol) = (ExchangeCodec, StreamProtocol::new("/test/1"));
        let mut whole = Vec::new();
        write_framed(&mut Cursor::new(&mut whole), &Question::Peers.encode()).await.expect("memory takes it");
        let nothing = codec.read_request(&protocol, &mut Cursor::new([])).await;
        assert_eq!(nothing.expect_err("nothing came").kind(), io::ErrorKind::UnexpectedEof);
        for length in 1..whole.len() {
            let cut = codec.read_request(&protocol, &mut Cursor::new(&whole[..length])).await;
            assert_eq!(cut.expect("it is read"), Err(Broken::Cut), "{length}");
        }
        let read = codec.read_request(&protocol, &mut Cursor::new(&whole[..])).await;
        assert_eq!(read.expect("it is read"), Ok(Question::Peers));
        whole.push(0);
        let garbled = [&[0, 0, 0, 1][..], &[0xFF]].concat();
        let read = codec.read_request(&protocol, &mut Cursor::new(&garbled[..])).await;
        assert_eq!(read.expect("it is read"), Err(Broken::Garbled));
    }
}
