//! Calendar months as records carry them.

use std::fmt;
use std::str::FromStr;

use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::limits::MONTH_MAX;
use crate::schema::text_schema;

/// A month counted from January 1900 (0) to December 2199 (3599).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Month(pub u16);

/// Why a text is not a month.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is not a month from 1900-01 to 2199-12, written like 2026-06")]
pub struct MonthError(String);

impl Month {
    /// A month of the years 1900 to 2199.
    pub fn new(year: u16, month: u8) -> Option<Self> {
        let is_valid = (1900..=2199).contains(&year) && (1..=12).contains(&month);
        is_valid.then(|| Self((year - 1900) * 12 + u16::from(month) - 1))
    }

    /// The year, 1900 to 2199.
    pub fn year(self) -> u16 {
        1900 + self.0 / 12
    }

    /// The month of the year, 1 to 12.
    pub fn month(self) -> u8 {
        (self.0 % 12) as u8 + 1
    }

    /// So many months later (or earlier), stopping at the first and last month.
    #[must_use]
    pub fn plus(self, months: i32) -> Self {
        Self(i32::from(self.0).saturating_add(months).clamp(0, i32::from(MONTH_MAX)) as u16)
    }

    /// Months from `earlier` to this one; negative when this one is earlier.
    pub fn months_since(self, earlier: Self) -> i32 {
        i32::from(self.0) - i32::from(earlier.0)
    }
}

impl fmt::Display for Month {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}", self.year(), self.month())
    }
}

impl FromStr for Month {
    type Err = MonthError;

    fn from_str(text: &str) -> Result<Self, MonthError> {
        let parsed = match text.split_once('-') {
            Some((year, month)) if year.len() == 4 && month.len() == 2 => {
                digits(year).zip(digits(month)).and_then(|(y, m)| Self::new(y, m as u8))
            }
            _ => None,
        };
        parsed.ok_or_else(|| MonthError(text.to_owned()))
    }
}

/// A number written in ASCII digits alone.
pub(crate) fn digits(text: &str) -> Option<u16> {
    if text.bytes().all(|b| b.is_ascii_digit()) { text.parse().ok() } else { None }
}

text_schema!(Month, "A month of 1900 to 2199.", "^(19|20|21)[0-9]{2}-(0[1-9]|1[0-2])$");

impl Serialize for Month {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Month {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer)?.parse().map_err(D::Error::custom)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_from_january_1900_to_december_2199() {
        assert_eq!(Month::new(1900, 1), Some(Month(0)));
        assert_eq!(Month::new(2199, 12), Some(Month(3599)));
        assert_eq!(Month::new(2026, 6).map(|m| (m.year(), m.month())), Some((2026, 6)));
        assert_eq!((Month::new(1899, 12), Month::new(2200, 1), Month::new(2026, 13)), (None, None, None));
    }

    #[test]
    fn adding_months_crosses_years_and_stops_at_the_ends() {
        let december = Month::new(2026, 12).expect("valid");
        assert_eq!(december.plus(6).to_string(), "2027-06");
        assert_eq!(december.plus(i32::MAX), Month(3599));
        assert_eq!(december.plus(i32::MIN), Month(0));
    }

    #[test]
    fn text_goes_both_ways_and_other_texts_are_refused() {
        assert_eq!("2026-06".parse::<Month>().map(|m| m.to_string()), Ok("2026-06".to_owned()));
        for wrong in ["2026", "2026-6", "26-06", "2026-00", "2026-13", "+026-06", "2026-06-01"] {
            assert!(wrong.parse::<Month>().is_err(), "{wrong}");
        }
        assert_eq!(serde_json::to_string(&Month(0)).expect("text"), "\"1900-01\"");
    }
}
