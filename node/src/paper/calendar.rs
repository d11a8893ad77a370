//! Calendar files (RFC 5545) with one all-day event an entry.

use propagule_protocol::Date;

/// One day in the calendar.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// The same for the same matter in every file, so that a calendar replaces it.
    pub uid: String,
    /// The day.
    pub day: Date,
    /// One line.
    pub summary: String,
    /// More, over several lines where wanted; may be empty.
    pub description: String,
    /// Whether the calendar should remind of it that morning.
    pub alarm: bool,
}
