//! Plant hardiness half-zones: bands of 5 °F of the mean of yearly minimum temperatures.

use std::fmt;
use std::str::FromStr;

use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::schema::text_schema;

/// A half-zone from 1a (coldest) to 13b.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct HalfZone(u8);

/// Why a text is not a half-zone.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is not a hardiness zone from 1a to 13b; write one like 8b")]
pub struct HalfZoneError(String);

/// Lower bounds in tenths of °C, as printed (5 °F steps from −60 °F, rounded).
const LOWER_BOUNDS: [i32; 26] = [
    -511, -483, -456, -428, -400, -372, -344, -317, -289, -261, -233, -206, -178, -150, -122, -94, -67, -39,
    -11, 17, 44, 72, 100, 128, 156, 183,
];

impl HalfZone {
    /// The half-zone of a mean yearly minimum in °C; a value at a bound belongs to the warmer half-zone.
    pub fn from_celsius(minimum: f64) -> Self {
        let tenths = (minimum * 10.0).round() as i32;
        let above = LOWER_BOUNDS.iter().take_while(|bound| **bound <= tenths).count();
        Self(above.saturating_sub(1) as u8)
    }

    /// The half-zone of a mean yearly minimum in °F.
    pub fn from_fahrenheit(minimum: f64) -> Self {
        Self(((minimum + 60.0) / 5.0).floor().clamp(0.0, 25.0) as u8)
    }

    /// The whole zone, 1 to 13.
    pub fn whole(self) -> u8 {
        self.0 / 2 + 1
    }

    /// `a` for the colder half, `b` for the warmer.
    pub fn half(self) -> char {
        if self.0.is_multiple_of(2) { 'a' } else { 'b' }
    }
}

/// The middle of a whole zone in °C of mean yearly minimum.
pub(super) fn middle_of_whole(zone: u8) -> f64 {
    let fahrenheit = -60.0 + 10.0 * (f64::from(zone) - 1.0) + 5.0;
    (fahrenheit - 32.0) / 1.8
}

impl fmt::Display for HalfZone {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}{}", self.whole(), self.half())
    }
}

impl FromStr for HalfZone {
    type Err = HalfZoneError;

    fn from_str(text: &str) -> Result<Self, HalfZoneError> {
        let wrong = || HalfZoneError(text.trim().to_owned());
        let lower = text.trim().to_lowercase();
        let (digits, half) = match (lower.strip_suffix('a'), lower.strip_suffix('b')) {
            (Some(digits), _) => (digits, 0),
            (_, Some(digits)) => (digits, 1),
            _ => return Err(wrong()),
        };
        let zone = crate::month::digits(digits).filter(|zone| (1..=13).contains(zone)).ok_or_else(wrong)?;
        Ok(Self((zone as u8 - 1) * 2 + half))
    }
}

text_schema!(HalfZone, "Half a hardiness zone: 8b.", "^([1-9]|1[0-3])[ab]$");

impl Serialize for HalfZone {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for HalfZone {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer)?.parse().map_err(D::Error::custom)
    }
}
