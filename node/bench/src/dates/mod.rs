//! Dates as growers write them: a day, a month, "about", or a range.
//!
//! Taken are `2026-06-05`, `5 June 2026`, `Jun 5 2026`, `05/06/2026` and `5.6.26` once the order is known,
//! `2026-06`, `06/2026` and `June 2026`, `early`, `mid` and `late June 2026` (1 to 10, 11 to 20, 21 to the end),
//! `about 2026-06-06` and `2026-06-06?` (three days either way), and ranges such as
//! `2026-06-01..2026-06-10`, `1-10 June 2026` and `28 May to 3 June 2026`.
//! Where today is known also `yesterday`, `3 days ago` and the last Friday (`friday`).
//! Two-digit years are those of 2000 to 2099. What can be read in two ways is never guessed.

mod part;
mod range;
mod relative;
#[cfg(test)]
mod tests;

use std::borrow::Cow;
use std::fmt;

use propagule_protocol::Date;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

pub use part::MONTHS;
pub use range::read;
pub use relative::read_on;

/// How far "about" a day reaches either way.
pub const ABOUT_DAYS: i32 = 3;

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
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum DayOrder {
    /// 5/6 is 5 June.
    DayFirst,
    /// 5/6 is 6 May.
    MonthFirst,
}

/// What a file, label or grower has already been asked.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Reading {
    /// Order of day and month in numbers.
    pub order: Option<DayOrder>,
    /// The year of dates that have none.
    pub year: Option<u16>,
}

/// Why a text was not read as a date, and what would settle it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum DateQuestion {
    /// Day first or month first gives two different days.
    TwoReadings(Date, Date),
    /// A two-digit year at either end gives two different days: read with the year last, and first.
    TwoYears(Date, Date),
    /// The year is missing; the reading is such as "5 April" or "June".
    NeedsYear(String),
    /// Year and order are missing: the reading day first, and month first.
    NeedsOrderAndYear(String, String),
    /// What was typed names something that does not exist.
    Impossible(String, ImpossibleDate),
    /// A weekday, which today is.
    TodayOrLastWeek(String, Date),
    /// Nothing that is understood as a date.
    NotADate(String),
}

/// What a date names that does not exist.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ImpossibleDate {
    /// A year too early or too late.
    Year(u16),
    /// A month, in this order of day and month where one was said.
    Month(u8, Option<DayOrder>),
    /// A day, such as "30 February 2026".
    Day(String),
    /// A range that ends, on the second day, before it begins, on the first.
    Range(Date, Date),
    /// A day before all that are known here.
    BeforeDays,
}

impl When {
    /// One day, known exactly.
    pub fn day(day: Date) -> Self {
        Self { first: day, last: day, is_about: false }
    }

    /// About a day: three days either way, within the years of dates.
    pub fn about(day: Date) -> Self {
        let shifted = |days| day.plus_days(days).unwrap_or(day);
        Self { first: shifted(-ABOUT_DAYS), last: shifted(ABOUT_DAYS), is_about: true }
    }
}

/// The day in the middle; the earlier one of two.
pub fn middle(when: &When) -> Date {
    when.first.plus_days(when.last.days_since(when.first) / 2).unwrap_or(when.first)
}

/// The last day of a month of 1900 to 2199.
fn month_end(year: u16, month: u8) -> Option<Date> {
    (28..=31).rev().find_map(|day| Date::new(year, month, day))
}

/// Reads back by [`read`]: `2026-06-06`, `2026-06-06, about`, `June 2026`, `2026-06-01 to 2026-06-10`.
impl fmt::Display for When {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { first, last, is_about } = *self;
        if *self == Self::about(middle(self)) && last.days_since(first) == 2 * ABOUT_DAYS {
            return write!(f, "{}, about", middle(self));
        }
        if first == last && !is_about {
            return write!(f, "{first}");
        }
        if first.day() == 1 && month_end(first.year(), first.month()) == Some(last) {
            write!(f, "{} {}", part::month_name(first.month()), first.year())?;
        } else {
            write!(f, "{first} to {last}")?;
        }
        f.write_str(if is_about { ", about" } else { "" })
    }
}

impl JsonSchema for When {
    fn schema_name() -> Cow<'static, str> {
        "When".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "string",
            "description": "A day as it is known: one day, about a day, a month, or from one day to another.",
            "examples": ["2026-06-06", "2026-06-06, about", "June 2026", "2026-06-01 to 2026-06-10"],
        })
    }
}

impl Serialize for When {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for When {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        read(&text, Reading::default()).map_err(|question| D::Error::custom(format_args!("{question:?}")))
    }
}
