//! Every limit of the network shell, with its reason.

/// Connections in all; a home node needs few, and each costs about 90 KB.
pub(crate) const CONNECTIONS: u32 = 48;
/// Connections that others opened.
pub(crate) const CONNECTIONS_IN: u32 = 32;
/// Connections to one peer.
pub(crate) const CONNECTIONS_PER_PEER: u32 = 2;
/// Connections to one IP address (IPv4) or /48 (IPv6).
pub(crate) const CONNECTIONS_PER_ADDRESS_GROUP: usize = 4;
/// Handshakes that others began and that are not finished.
pub(crate) const PENDING_IN: u32 = 16;
/// Handshakes begun here.
pub(crate) const PENDING_OUT: u32 = 8;
/// Questions and replies under way with one peer.
pub(crate) const STREAMS_PER_PEER: usize = 4;
/// Commands waiting for the event loop.
pub(crate) const COMMANDS: usize = 64;
/// Gossip messages waiting to be judged; beyond, they are ignored and exchange brings them later.
pub(crate) const GOSSIP_QUEUE: usize = 2_048;
/// Bytes of gossip in one read from a peer. The library measures all that has arrived, not one
/// message, so a limit near the size of a message would end the stream whenever two come together.
pub(crate) const GOSSIP_READ_BYTES: usize = 64 << 10;
/// Gossip messages judged with one flush to disk.
pub(crate) const GOSSIP_BATCH: usize = 256;
/// Questions of peers being answered.
pub(crate) const ANSWERS: usize = 32;
/// Pulling sessions at the same time, with one peer each.
pub(crate) const SESSIONS: usize = 4;
/// Refused messages from one peer in ten minutes before it is blocked.
pub(crate) const OFFENCES: usize = 5;
/// Addresses kept in the book.
pub(crate) const BOOK_ADDRESSES: usize = 512;
