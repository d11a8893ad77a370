//! The one source of time and of waiting, so that tests can set both.

use std::time::{Duration, Instant};

use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use propagule_protocol::Month;
use serde::{Deserialize, Serialize};

/// Names the time to use instead of the system's: an RFC 3339 timestamp. For tests and the demo.
pub const CLOCK_VARIABLE: &str = "PROPAGULE_CLOCK";

/// Where "now" comes from.
#[derive(Clone, Copy, Debug)]
pub enum Clock {
    /// The system's clock.
    System,
    /// Always the same instant.
    Fixed(Timestamp),
}

impl Clock {
    /// The system's clock, or the instant that [`CLOCK_VARIABLE`] names.
    ///
    /// # Errors
    /// When the variable is set to something that is not a timestamp.
    pub fn from_environment() -> Result<Self, jiff::Error> {
        match std::env::var(CLOCK_VARIABLE) {
            Ok(text) => Ok(Self::Fixed(text.parse()?)),
            Err(_) => Ok(Self::System),
        }
    }

    /// The present instant.
    #[expect(clippy::disallowed_methods, reason = "the one place that may ask the system for the time")]
    pub fn now(self) -> Timestamp {
        match self {
            Self::System => Timestamp::now(),
            Self::Fixed(instant) => instant,
        }
    }

    /// The present instant as state machines are told it.
    pub fn moment(self) -> Moment {
        Moment(u64::try_from(self.now().as_millisecond()).unwrap_or(0))
    }

    /// Today in universal time.
    pub fn today(self) -> Date {
        self.now().to_zoned_datetime(TimeZone::UTC).date()
    }

    /// Today as records and the bench write days; the nearest one that they can hold.
    pub fn today_date(self) -> propagule_protocol::Date {
        let today = self.today();
        let year = today.year().clamp(1900, 2199) as u16;
        propagule_protocol::Date::new(year, today.month() as u8, today.day() as u8)
            .or_else(|| propagule_protocol::Date::new(year, 1, 1))
            .expect("the year is in range")
    }

    /// The present month in universal time; the nearest one that records can hold.
    pub fn month(self) -> Month {
        let today = self.today();
        let year = today.year().clamp(1900, 2199) as u16;
        Month::new(year, today.month() as u8).expect("the year is in range and the calendar gives the month")
    }
}

/// An instant in milliseconds since 1970, as state machines are told it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Moment(pub u64);

impl Moment {
    /// This long afterwards.
    #[must_use]
    pub fn plus(self, wait: Duration) -> Self {
        Self(self.0.saturating_add(u64::try_from(wait.as_millis()).unwrap_or(u64::MAX)))
    }

    /// How long ago `earlier` was; nothing when it is still to come.
    pub fn since(self, earlier: Self) -> Duration {
        Duration::from_millis(self.0.saturating_sub(earlier.0))
    }

    /// Its day in universal time, counted from the first of 1970.
    pub fn day(self) -> u32 {
        const MILLISECONDS: u64 = 24 * 60 * 60 * 1_000;
        u32::try_from(self.0 / MILLISECONDS).unwrap_or(u32::MAX)
    }
}

/// A day, counted from the first of 1970, as text.
pub fn day_text(day: u32) -> String {
    let begin = Date::constant(1970, 1, 1);
    begin.saturating_add(jiff::Span::new().days(i64::from(day.min(2_000_000)))).to_string()
}

/// Runs on from the clock's time when it was made, whatever is done to that clock meanwhile.
#[derive(Clone, Copy, Debug)]
pub struct Ticker {
    base: Moment,
    begun: Instant,
}

impl Ticker {
    /// Begins at the clock's time.
    pub fn new(clock: Clock) -> Self {
        Self { base: clock.moment(), begun: Instant::now() }
    }

    /// The present instant.
    pub fn now(&self) -> Moment {
        self.base.plus(self.begun.elapsed())
    }
}
