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
    /// Whether the calendar should remind of it at seven that morning.
    pub alarm: bool,
}

/// Octets of a line before it is folded (RFC 5545, section 3.1).
const LINE_OCTETS: usize = 75;

/// A calendar with the entries in their order.
///
/// `stamp` says when the file was made, in UTC, as `20260605T080000Z` or `2026-06-05T08:00:00Z`. The standard wants
/// at least one entry: ask before writing a file without any.
pub fn calendar(entries: &[Entry], stamp: &str) -> String {
    let stamp: String = stamp.chars().filter(|c| c.is_ascii_digit() || matches!(c, 'T' | 'Z')).collect();
    let mut lines = Lines::default();
    lines.push("BEGIN:VCALENDAR");
    lines.push("VERSION:2.0");
    lines.push("PRODID:-//Propagule//Bench//EN");
    lines.push("CALSCALE:GREGORIAN");
    for entry in entries {
        lines.event(entry, &stamp);
    }
    lines.push("END:VCALENDAR");
    lines.0
}

#[derive(Default)]
struct Lines(String);

impl Lines {
    fn event(&mut self, entry: &Entry, stamp: &str) {
        let Entry { uid, day, summary, description, alarm } = entry;
        self.push("BEGIN:VEVENT");
        self.push(&format!("UID:{}", escaped(uid)));
        self.push(&format!("DTSTAMP:{stamp}"));
        // Without an end, a day is one day long (section 3.6.1).
        self.push(&format!("DTSTART;VALUE=DATE:{:04}{:02}{:02}", day.year(), day.month(), day.day()));
        self.push(&format!("SUMMARY:{}", escaped(summary)));
        if !description.is_empty() {
            self.push(&format!("DESCRIPTION:{}", escaped(description)));
        }
        self.push("TRANSP:TRANSPARENT");
        if *alarm {
            self.push("BEGIN:VALARM");
            self.push("ACTION:DISPLAY");
            self.push(&format!("DESCRIPTION:{}", escaped(summary)));
            self.push("TRIGGER:PT7H");
            self.push("END:VALARM");
        }
        self.push("END:VEVENT");
    }

    /// Adds a content line, folded.
    fn push(&mut self, line: &str) {
        let mut room = LINE_OCTETS;
        for c in line.chars() {
            if c.len_utf8() > room {
                self.0.push_str("\r\n ");
                // The space that marks the fold counts.
                room = LINE_OCTETS - 1;
            }
            room -= c.len_utf8();
            self.0.push(c);
        }
        self.0.push_str("\r\n");
    }
}

/// A value of type TEXT (section 3.3.11). Control characters, which it cannot hold, are left out.
fn escaped(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for c in text.replace("\r\n", "\n").chars() {
        match c {
            '\\' | ';' | ',' => escaped.extend(['\\', c]),
            '\n' | '\r' | '\u{2028}' | '\u{2029}' => escaped.push_str("\\n"),
            '\t' => escaped.push(' '),
            c if c.is_control() => {}
            c => escaped.push(c),
        }
    }
    escaped
}

#[cfg(test)]
#[path = "calendar_tests.rs"]
mod tests;
