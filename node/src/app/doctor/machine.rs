//! The program itself, the clock, and the socket.

use std::path::Path;

use jiff::tz::TimeZone;
use jiff::{Timestamp, ToSpan};
use propagule_protocol::limits::{MAJOR, MINOR};

use super::files::mode_of;
use super::{Check, Finding};
use crate::app::publish::RELEASED;
use crate::home::Home;
use propagule_files::clock::{CLOCK_VARIABLE, Clock};
use propagule_files::journal::FORMAT_VERSION;
use propagule_files::paste::pasteable;

/// Behind the newest thing that is known, a clock that is further ahead is more likely wrong than right.
const YEARS_AHEAD: i32 = 5;
/// Bytes of the path in a Unix socket address (`sun_path` of unix(7): 108 with the zero at its end).
const SOCKET_PATH_BYTES: usize = 107;

pub(super) fn program() -> Finding {
    let version = env!("CARGO_PKG_VERSION");
    let says = format!(
        "propagule {version}: records of schema {MAJOR}.{MINOR}, homes up to format {FORMAT_VERSION}"
    );
    Finding::ok(Check::Program, says)
}

/// The clock against what is known to have happened: the release of the program, and `newest` of this home.
pub(super) fn clock(clock: Clock, newest: Option<Timestamp>) -> Finding {
    let released = TimeZone::UTC.to_timestamp(RELEASED.into()).expect("a day of this century");
    let (now, latest) = (clock.now(), newest.map_or(released, |newest| newest.max(released)));
    let today = clock.today();
    let after =
        if latest == released { "this program was released" } else { "the newest entry here was made" };
    if now < latest {
        let says = format!("the clock says {today}, which is before {after} ({})", day(latest));
        return Finding::problem(Check::Clock, says, set_the_clock(clock));
    }
    let limit = latest.to_zoned_datetime(TimeZone::UTC).checked_add(YEARS_AHEAD.years());
    if limit.is_ok_and(|limit| now > limit.timestamp()) {
        let says =
            format!("the clock says {today}, more than {YEARS_AHEAD} years after {after} ({})", day(latest));
        return Finding::problem(Check::Clock, says, set_the_clock(clock));
    }
    Finding::ok(Check::Clock, format!("{today} in universal time"))
}

fn day(instant: Timestamp) -> jiff::civil::Date {
    instant.to_zoned_datetime(TimeZone::UTC).date()
}

fn set_the_clock(clock: Clock) -> String {
    match clock {
        Clock::System => "sudo timedatectl set-ntp true".to_owned(),
        Clock::Fixed(_) => format!("unset {CLOCK_VARIABLE}"),
    }
}

/// Where other commands reach the running node.
pub(super) fn socket(home: &Home) -> Finding {
    let path = crate::home::socket_path(home);
    let folder = path.parent().unwrap_or(&path);
    if path.as_os_str().len() > SOCKET_PATH_BYTES {
        let says = format!("{} is longer than a socket's path may be", path.display());
        return Finding::problem(Check::Socket, says, "export XDG_RUNTIME_DIR=\"$(mktemp -d)\"");
    }
    match mode_of(folder) {
        Some(mode) if mode & 0o077 != 0 => {
            let says = format!("{} can be entered by others (mode {mode:03o})", folder.display());
            Finding::problem(Check::Socket, says, format!("chmod 700 {}", shown(folder)))
        }
        _ => Finding::ok(Check::Socket, path.display().to_string()),
    }
}

pub(super) fn shown(path: &Path) -> String {
    pasteable(&path.display().to_string())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::doctor::State;

    fn at(text: &str) -> Clock {
        Clock::Fixed(text.parse().expect("a timestamp"))
    }

    fn state(now: &str, newest: Option<&str>) -> State {
        clock(at(now), newest.map(|text| text.parse().expect("a timestamp"))).state
    }

    #[test]
    fn a_clock_is_wrong_before_the_release_before_the_newest_entry_and_far_ahead() {
        assert_eq!(state("2026-10-31T23:59:59Z", None), State::Problem);
        assert_eq!(state("2026-11-01T00:00:00Z", None), State::Ok);
        assert_eq!(state("2027-05-01T00:00:00Z", Some("2027-05-02T00:00:00Z")), State::Problem);
        assert_eq!(state("2027-05-03T00:00:00Z", Some("2027-05-02T00:00:00Z")), State::Ok);
        assert_eq!(state("2031-11-01T00:00:00Z", None), State::Ok);
        assert_eq!(state("2031-11-02T00:00:00Z", None), State::Problem);
        assert_eq!(state("2031-11-02T00:00:00Z", Some("2030-01-01T00:00:00Z")), State::Ok);
    }
}
