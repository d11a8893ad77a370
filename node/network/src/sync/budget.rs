//! How much a session may put on a connection: little on one that a relay carries.

use crate::limits::{
    FETCH_IDS, FETCH_REPLY_BYTES, FRAME_BYTES, RELAYED_FETCH_IDS, RELAYED_FRAME_BYTES, RELAYED_REPLY_BYTES,
    RELAYED_SESSION_BYTES,
};

/// Sizes of one session.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Budget {
    /// Bytes of a reconciliation frame.
    pub frame: usize,
    /// Record ids in one fetch.
    pub fetch_ids: usize,
    /// Record bytes in a reply to a fetch.
    pub reply: usize,
    /// Bytes of messages and records after which a session ends, to go on later; none where only the
    /// ordinary limits hold. With it, what a frame shows to be missing is fetched before the next frame,
    /// so that even a short connection brings records.
    pub session: Option<usize>,
}

impl Budget {
    /// For a direct connection.
    pub const DIRECT: Self =
        Self { frame: FRAME_BYTES, fetch_ids: FETCH_IDS, reply: FETCH_REPLY_BYTES, session: None };
    /// For a connection by way of a relay.
    pub const RELAYED: Self = Self {
        frame: RELAYED_FRAME_BYTES,
        fetch_ids: RELAYED_FETCH_IDS,
        reply: RELAYED_REPLY_BYTES,
        session: Some(RELAYED_SESSION_BYTES),
    };

    /// Whether a session that has moved so many bytes should end.
    pub(super) fn is_spent(&self, moved: usize) -> bool {
        self.session.is_some_and(|limit| moved >= limit)
    }
}
