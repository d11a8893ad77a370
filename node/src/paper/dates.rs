//! Dates as growers write them: a day, a month, "about", or a range.

use propagule_protocol::Date;

/// A stretch of days within which something happened.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct When {
    /// The first possible day.
    pub first: Date,
    /// The last possible day.
    pub last: Date,
    /// Whether it was said to be about then, so that the limits are soft.
    pub is_about: bool,
}

/// Which comes first in a numeric date without a leading year.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DayOrder {
    /// 5/6 is 5 June.
    DayFirst,
    /// 5/6 is 6 May.
    MonthFirst,
}

/// What a file, label or grower has already been asked.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Reading {
    /// Order of day and month in numbers.
    pub order: Option<DayOrder>,
    /// The year of dates that have none.
    pub year: Option<u16>,
}

/// Why a text was not read as a date, and what would settle it.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum DateQuestion {
    /// Day first or month first gives two different days.
    #[error("can be read as {0} (day first) or {1} (month first)")]
    TwoReadings(Date, Date),
    /// A two-digit year at either end gives two different days: read with the year last, and first.
    #[error("can be read as {0} (year last) or {1} (year first): write the year with four digits")]
    TwoYears(Date, Date),
    /// The year is missing; the reading is such as "5 April" or "June".
    #[error("{0} of which year?")]
    NeedsYear(String),
    /// Year and order are missing: the reading day first, and month first.
    #[error("{0} (day first) or {1} (month first), and of which year?")]
    NeedsOrderAndYear(String, String),
    /// A day, month or year that does not exist, or a range that ends before it begins.
    #[error("{0}")]
    Impossible(String),
    /// Nothing that is understood as a date.
    #[error(
        "`{0}` is no date; write a day (2026-06-05, 5 June 2026), a month (June 2026), \"about\" before either, \
         or a range (2026-06-01..2026-06-10)"
    )]
    NotADate(String),
}
