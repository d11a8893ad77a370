//! How many new records of each author have come today.

use std::collections::HashMap;

use propagule_protocol::AuthorKey;

use super::DayNumber;
use crate::limits::REMEMBERED_AUTHORS;
use crate::spread::make_room;

#[derive(Debug, Default)]
pub(super) struct Days {
    authors: HashMap<AuthorKey, (DayNumber, u32)>,
}

impl Days {
    /// Whether one more is within `most` of the day; if so it counts.
    pub(super) fn admit(&mut self, author: AuthorKey, most: u32, today: DayNumber) -> bool {
        // Those that brought least today are forgotten first: a flood of fresh keys makes nobody's count begin anew.
        make_room(&mut self.authors, REMEMBERED_AUTHORS, |counted| *counted);
        let (day, count) = self.authors.entry(author).or_insert((today, 0));
        if *day != today {
            (*day, *count) = (today, 0);
        }
        let is_within = *count < most;
        *count += u32::from(is_within);
        is_within
    }
}
