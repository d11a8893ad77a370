//! The program itself, the clock, and the socket.

use jiff::tz::TimeZone;
use jiff::{Timestamp, ToSpan};
use propagule_protocol::limits::{MAJOR, MINOR};

use super::files::too_open;
use super::{Check, Finding, Fix, Found};
use crate::home::Home;
use crate::outcome::doctor::ClockMark;
use crate::signing_day::RELEASED;
use propagule_files::clock::Clock;
use propagule_files::journal::FORMAT_VERSION;

/// Behind the newest thing that is known, a clock that is further ahead is more likely wrong than right.
const YEARS_AHEAD: i32 = 5;
/// Bytes of the path in a Unix socket address (`sun_path` of unix(7): 108 with the zero at its end).
const SOCKET_PATH_BYTES: usize = 107;

pub(super) fn program() -> Finding {
    Finding::ok(
        Check::Program,
        Found::Program {
            version: env!("CARGO_PKG_VERSION").to_owned(),
            major: u64::from(MAJOR),
            minor: u64::from(MINOR),
            home_format: FORMAT_VERSION,
        },
    )
}

/// The clock against what is known to have happened: the release of the program, and `newest` of this home.
pub(super) fn clock(clock: Clock, newest: Option<Timestamp>) -> Finding {
    let released = TimeZone::UTC.to_timestamp(RELEASED.into()).expect("a day of this century");
    let (now, latest) = (clock.now(), newest.map_or(released, |newest| newest.max(released)));
    let today = clock.today().to_string();
    let mark = if latest == released { ClockMark::Release } else { ClockMark::NewestEntry };
    let on = day(latest).to_string();
    if now < latest {
        let found = Found::ClockEarly { today, mark, on };
        return Finding::problem(Check::Clock, found, set_the_clock(clock));
    }
    let limit = latest.to_zoned_datetime(TimeZone::UTC).checked_add(YEARS_AHEAD.years());
    if limit.is_ok_and(|limit| now > limit.timestamp()) {
        let found = Found::ClockFarAhead { today, years: YEARS_AHEAD, mark, on };
        return Finding::problem(Check::Clock, found, set_the_clock(clock));
    }
    Finding::ok(Check::Clock, Found::Clock { today })
}

fn day(instant: Timestamp) -> jiff::civil::Date {
    instant.to_zoned_datetime(TimeZone::UTC).date()
}

fn set_the_clock(clock: Clock) -> Fix {
    match clock {
        Clock::System => Fix::SetClock,
        Clock::Fixed(_) => Fix::UnsetClock,
    }
}

/// Where other commands reach the running node.
pub(super) fn socket(home: &Home) -> Finding {
    let path = crate::home::socket_path(home);
    let folder = path.parent().unwrap_or(&path);
    let shown = path.display().to_string();
    if path.as_os_str().len() > SOCKET_PATH_BYTES {
        let found = Found::SocketPathTooLong { path: shown };
        return Finding::problem(Check::Socket, found, Fix::ShortSocketFolder);
    }
    match too_open(folder, 0o700) {
        Some(folder) => {
            let fix = Fix::Close { files: vec![folder.clone()] };
            Finding::problem(Check::Socket, Found::SocketFolderOpen { folder }, fix)
        }
        None => Finding::ok(Check::Socket, Found::Socket { path: shown }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::doctor::CheckState;

    fn at(text: &str) -> Clock {
        Clock::Fixed(text.parse().expect("a timestamp"))
    }

    fn state(now: &str, newest: Option<&str>) -> CheckState {
        clock(at(now), newest.map(|text| text.parse().expect("a timestamp"))).state
    }

    #[test]
    fn a_clock_is_wrong_before_the_release_before_the_newest_entry_and_far_ahead() {
        assert_eq!(state("2026-10-31T23:59:59Z", None), CheckState::Problem);
        assert_eq!(state("2026-11-01T00:00:00Z", None), CheckState::Ok);
        assert_eq!(state("2027-05-01T00:00:00Z", Some("2027-05-02T00:00:00Z")), CheckState::Problem);
        assert_eq!(state("2027-05-03T00:00:00Z", Some("2027-05-02T00:00:00Z")), CheckState::Ok);
        assert_eq!(state("2031-11-01T00:00:00Z", None), CheckState::Ok);
        assert_eq!(state("2031-11-02T00:00:00Z", None), CheckState::Problem);
        assert_eq!(state("2031-11-02T00:00:00Z", Some("2030-01-01T00:00:00Z")), CheckState::Ok);
    }
}
