//! Every limit of the exchange, with its reason.

use std::time::Duration;

/// Number of months that exist (1900-01 to 2199-12).
pub(crate) const MONTHS: u16 = 3_600;
/// Record ids in one fetch.
pub const FETCH_IDS: usize = 256;
/// Record bytes in one reply to a fetch; the rest is asked for again.
pub const FETCH_REPLY_BYTES: usize = 256 << 10;
/// The longest question: 256 ids, or one reconciliation frame.
pub const QUESTION_BYTES: usize = 48 << 10;
/// The longest reply: a full fetch, or 3,600 month rows.
pub const REPLY_BYTES: usize = 320 << 10;
/// A frame of reconciliation; unlimited ones let 5 bytes draw a 32 MB answer.
pub const FRAME_BYTES: usize = 32 << 10;
/// Reconciliation round trips in one session.
pub const ROUNDS: u32 = 64;
/// Bytes of reconciliation messages in one session, both ways.
pub const RECONCILE_BYTES: usize = 8 << 20;
/// Round trips that bring no id before a month is given up; a month of a million needs three.
pub const ROUNDS_WITHOUT_PROGRESS: u32 = 4;
/// Records fetched in one session; the next one goes on.
pub const SESSION_RECORDS: usize = 50_000;
/// A session ends after this long.
pub const SESSION_TIME: Duration = Duration::from_secs(60);
