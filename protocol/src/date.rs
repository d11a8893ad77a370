//! Civil dates of the Gregorian calendar, as a grower writes them down.

use std::fmt;
use std::str::FromStr;

use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::month::{Month, digits};
use crate::schema::text_schema;

/// A day of the years 1900 to 2199. It never leaves the grower's computer: records carry months.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Date {
    year: u16,
    month: u8,
    day: u8,
}

/// Why a text is not a date.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is not a day from 1900-01-01 to 2199-12-31, written like 2026-06-05")]
pub struct DateError(String);

impl Date {
    /// A day that exists.
    pub fn new(year: u16, month: u8, day: u8) -> Option<Self> {
        let is_valid = (1900..=2199).contains(&year)
            && (1..=12).contains(&month)
            && (1..=days_in(year, month)).contains(&day);
        is_valid.then_some(Self { year, month, day })
    }

    /// The year, 1900 to 2199.
    pub fn year(self) -> u16 {
        self.year
    }

    /// The month, 1 to 12.
    pub fn month(self) -> u8 {
        self.month
    }

    /// The day of the month, 1 to 31.
    pub fn day(self) -> u8 {
        self.day
    }

    /// The day of the year, 1 to 366.
    pub fn day_of_year(self) -> u16 {
        (1..self.month).map(|m| u16::from(days_in(self.year, m))).sum::<u16>() + u16::from(self.day)
    }

    /// Days from `other` to this day; negative when this day is earlier.
    pub fn days_since(self, other: Self) -> i32 {
        self.day_number() - other.day_number()
    }

    /// Weeks from `other` to this day, rounded to the nearest one.
    pub fn weeks_since(self, other: Self) -> i32 {
        (self.days_since(other) + 3).div_euclid(7)
    }

    /// The day so many days later, or earlier when negative; `None` outside the years 1900 to 2199.
    pub fn plus_days(self, days: i32) -> Option<Self> {
        let wanted = self.day_number().checked_add(days)?;
        let begins = |year: u16| Self { year, month: 1, day: 1 }.day_number();
        let since_1900 = wanted - begins(1900);
        // No year has more than 366 days, so that the guess is never too late.
        let mut year = (0..=300 * 366).contains(&since_1900).then(|| 1900 + (since_1900 / 366) as u16)?;
        while begins(year + 1) <= wanted {
            year += 1;
        }
        let (mut month, mut day) = (1, (wanted - begins(year) + 1) as u16);
        while day > u16::from(days_in(year, month)) {
            day -= u16::from(days_in(year, month));
            month += 1;
        }
        Self::new(year, month, day as u8)
    }

    fn day_number(self) -> i32 {
        let before = i32::from(self.year) - 1;
        before * 365 + before / 4 - before / 100 + before / 400 + i32::from(self.day_of_year())
    }
}

fn is_leap(year: u16) -> bool {
    year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400))
}

fn days_in(year: u16, month: u8) -> u8 {
    match month {
        4 | 6 | 9 | 11 => 30,
        2 => 28 + u8::from(is_leap(year)),
        _ => 31,
    }
}

impl From<Date> for Month {
    fn from(date: Date) -> Self {
        Self::new(date.year(), date.month()).expect("a date lies in the years of months")
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

impl FromStr for Date {
    type Err = DateError;

    fn from_str(text: &str) -> Result<Self, DateError> {
        let parts: Vec<&str> = text.split('-').collect();
        let parsed = match parts[..] {
            [y, m, d] if (y.len(), m.len(), d.len()) == (4, 2, 2) => {
                let numbers = digits(y).zip(digits(m)).zip(digits(d));
                numbers.and_then(|((y, m), d)| Self::new(y, m as u8, d as u8))
            }
            _ => None,
        };
        parsed.ok_or_else(|| DateError(text.to_owned()))
    }
}

text_schema!(Date, "A day of 1900 to 2199.", "^(19|20|21)[0-9]{2}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])$");

impl Serialize for Date {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Date {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer)?.parse().map_err(D::Error::custom)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn date(text: &str) -> Date {
        text.parse().expect("valid")
    }

    #[test]
    fn leap_years_follow_the_gregorian_rule() {
        // 1900 was none, 2000 was one (Gregorian calendar, from memory).
        assert!(Date::new(1900, 2, 29).is_none());
        assert!(Date::new(2000, 2, 29).is_some());
        assert!(Date::new(2026, 2, 29).is_none());
        assert!(Date::new(2026, 4, 31).is_none());
    }

    #[test]
    fn spans_are_exact() {
        assert_eq!(date("2026-08-29").days_since(date("2026-06-06")), 84);
        assert_eq!(date("2026-10-09").weeks_since(date("2026-06-05")), 18);
        assert_eq!(date("2001-01-01").days_since(date("2000-01-01")), 366);
        assert_eq!(date("2026-06-06").days_since(date("2026-08-29")), -84);
        // 1900-01-01 to 2000-01-01 is 36,524 days (Julian days 2415021 and 2451545, from memory).
        assert_eq!(date("2000-01-01").days_since(date("1900-01-01")), 36_524);
    }

    #[test]
    fn adding_days_is_the_inverse_of_the_span_over_all_three_centuries() {
        let (first, last) = (date("1900-01-01"), date("2199-12-31"));
        // 300 years of 365 days with a leap day every fourth, but for 1900 and 2100.
        assert_eq!(last.days_since(first), 300 * 365 + 75 - 2 - 1);
        let mut before = None;
        for days in 0..=last.days_since(first) {
            let day = first.plus_days(days).expect("within the years");
            assert_eq!(day.days_since(first), days, "{day}");
            assert_eq!(day.plus_days(-days), Some(first), "{day}");
            assert!(before < Some(day), "{day}");
            before = Some(day);
        }
        assert_eq!(before, Some(last));
    }

    #[test]
    fn adding_days_stops_at_the_years_of_dates() {
        assert_eq!(date("2026-02-27").plus_days(2), Some(date("2026-03-01")));
        assert_eq!(date("2028-02-27").plus_days(2), Some(date("2028-02-29")));
        assert_eq!(date("2199-12-31").plus_days(1), None);
        assert_eq!(date("1900-01-01").plus_days(-1), None);
        assert_eq!(date("2026-06-05").plus_days(i32::MAX), None);
        assert_eq!(date("2026-06-05").plus_days(i32::MIN), None);
    }

    #[test]
    fn other_texts_are_refused() {
        for wrong in ["2026-6-05", "2026-02-30", "05/06/2026", "2026-06", "2026-06-05T10", "+026-06-05"] {
            assert!(wrong.parse::<Date>().is_err(), "{wrong}");
        }
        assert_eq!(date("2026-12-31").day_of_year(), 365);
    }
}
