//! Short forms for days of the bench.

use propagule_protocol::Date;

use crate::dates;
use crate::dates::When;

impl When {
    /// The day in the middle, by which spans and order go.
    pub fn middle(&self) -> Date {
        dates::middle(self)
    }
}

impl From<Date> for When {
    fn from(day: Date) -> Self {
        Self::day(day)
    }
}
