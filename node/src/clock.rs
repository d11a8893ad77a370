//! The one source of time and of waiting, so that tests can set both.

use std::time::Duration;

use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use propagule_protocol::Month;

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

/// All waiting of a node. Tests and the demo use [`Timing::quick`].
#[derive(Clone, Copy, Debug)]
pub struct Timing {
    /// Between two sessions of pulling from one peer.
    pub session_gap: Duration,
    /// After a session that brought nothing and was not complete, doubled each time.
    pub back_off: Duration,
    /// The longest back-off.
    pub back_off_limit: Duration,
    /// Dials are spread over this long, since two nodes that dial each other at once may both fail.
    pub dial_jitter: Duration,
    /// Between two attempts to reach known peers that are not connected.
    pub redial: Duration,
    /// Gossip heartbeat.
    pub heartbeat: Duration,
    /// How long a misbehaving peer stays blocked.
    pub block: Duration,
}

impl Timing {
    /// For homes.
    pub fn home() -> Self {
        Self {
            session_gap: Duration::from_mins(1),
            back_off: Duration::from_mins(10),
            back_off_limit: Duration::from_hours(24),
            dial_jitter: Duration::from_secs(2),
            redial: Duration::from_secs(30),
            heartbeat: Duration::from_secs(1),
            block: Duration::from_hours(1),
        }
    }

    /// For nodes that meet on one machine.
    pub fn quick() -> Self {
        Self {
            session_gap: Duration::from_millis(500),
            back_off: Duration::from_secs(2),
            back_off_limit: Duration::from_secs(8),
            dial_jitter: Duration::from_millis(50),
            redial: Duration::from_millis(500),
            heartbeat: Duration::from_millis(200),
            block: Duration::from_hours(1),
        }
    }
}
