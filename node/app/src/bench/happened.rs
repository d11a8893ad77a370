//! Entries say what has happened: a day that is yet to come is a slip, most often of the year.

use jiff::civil;
use propagule_protocol::Date;

use super::BenchRequest;
use crate::App;
use crate::signing_day::RELEASED;
use propagule_bench::dates::When;
use propagule_files::clock::Clock;
use propagule_files::fault::Fault;

/// The last day that somebody could call today: west of the date line it is still yesterday, east of it already
/// tomorrow. None where the clock is known to be wrong.
pub(crate) fn last_day(clock: Clock) -> Option<Date> {
    let is_set = clock.today() >= RELEASED;
    clock.today_date().plus_days(1).filter(|_| is_set)
}

/// Refuses what a request says of a day that is yet to come, or of one that is a century off.
pub(super) fn check(app: &App, request: &BenchRequest) -> Result<(), Fault> {
    let today = app.clock().today();
    let Some(last) = last_day(app.clock()) else { return Ok(()) };
    match (day_of(app, request), planned_for(request)) {
        (Some(on), _) if on.first > last => Err(to_come(on, today)),
        (Some(on), _) | (None, Some(on)) if is_long_past(on, today) => Err(long_past(on, today)),
        _ => Ok(()),
    }
}

/// The day for which something is planned: it may be yet to come.
fn planned_for(request: &BenchRequest) -> Option<When> {
    match request {
        BenchRequest::New(new) => Some(new.on),
        _ => None,
    }
}

/// Nobody enters at the bench what was done so many years ago: it is a slip of the century, or of a digit.
const MOST_YEARS_AGO: i16 = 50;

fn is_long_past(on: When, today: civil::Date) -> bool {
    today.year() - on.last.year() as i16 > MOST_YEARS_AGO
}

fn long_past(on: When, today: civil::Date) -> Fault {
    let years = today.year() - on.last.year() as i16;
    let failure = Fault::user("day-long-past").with("on", on).with("years", years).in_field("on");
    match in_this_century(on, today) {
        Some(day) => failure.with("day", day).hint_named("meant-a-day-of-this-century"),
        None => failure.hint_named("look-at-the-year"),
    }
}

/// The same day a century later, where that has been.
fn in_this_century(on: When, today: civil::Date) -> Option<Date> {
    let day = Some(on.first).filter(|day| *day == on.last)?;
    let later = Date::new(day.year() + 100, day.month(), day.day())?;
    let has_been = (later.year() as i16, later.month() as i8, later.day() as i8)
        <= (today.year(), today.month(), today.day());
    has_been.then_some(later)
}

/// The day on which something is said to have happened.
fn day_of(app: &App, request: &BenchRequest) -> Option<When> {
    match request {
        BenchRequest::Stick(stick) => Some(stick.on),
        BenchRequest::Enter(enter) => Some(enter.common.on),
        BenchRequest::Move { common, .. }
        | BenchRequest::Left { common, .. }
        | BenchRequest::Suckers { common, .. }
        | BenchRequest::WrapCut { common, .. }
        | BenchRequest::Note { common, .. }
        | BenchRequest::Care { common, .. }
        | BenchRequest::Close { common, .. }
        | BenchRequest::CloseAsleep { common, .. }
        | BenchRequest::LookedAll { common, .. }
        | BenchRequest::Stand { common, .. } => Some(common.on),
        BenchRequest::CorrectEntry { on, .. } => *on,
        BenchRequest::CorrectTrial(correct) => {
            let bench = app.bench();
            let is_planned = bench.trial(&correct.trial).is_some_and(|trial| trial.is_planned);
            correct.started_on.filter(|_| !is_planned)
        }
        BenchRequest::New(_)
        | BenchRequest::Copy { .. }
        | BenchRequest::Undo { .. }
        | BenchRequest::UndoOf { .. }
        | BenchRequest::Units { .. }
        | BenchRequest::Pots { .. }
        | BenchRequest::TakeBackCare { .. }
        | BenchRequest::SpotSet { .. }
        | BenchRequest::SpotShow { .. }
        | BenchRequest::StockSet { .. }
        | BenchRequest::StockShow
        | BenchRequest::History { .. }
        | BenchRequest::Due { .. }
        | BenchRequest::Reopen { .. }
        | BenchRequest::Private { .. }
        | BenchRequest::TakeBackLooks { .. }
        | BenchRequest::Settings { .. }
        | BenchRequest::Layout { .. }
        | BenchRequest::Paper { .. }
        | BenchRequest::Export { .. }
        | BenchRequest::Cautions
        | BenchRequest::Dismiss { .. } => None,
    }
}

fn to_come(on: When, today: civil::Date) -> Fault {
    let failure = Fault::user("day-yet-to-come").with("on", on).with("today", today).in_field("on");
    match meant(on, today) {
        Some(day) => failure.with("day", day).hint_named("meant-a-day-that-has-been"),
        None => failure.hint_named("look-at-the-year"),
    }
}

/// The same day in the latest year in which it is not to come.
fn meant(on: When, today: civil::Date) -> Option<Date> {
    let day = Some(on.first).filter(|day| *day == on.last)?;
    let year = today.year() as u16;
    let known = |day: &Date| (day.month() as i8, day.day() as i8) <= (today.month(), today.day());
    let this = Date::new(year, day.month(), day.day()).filter(known);
    this.or_else(|| Date::new(year - 1, day.month(), day.day()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn date(text: &str) -> Date {
        propagule_bench::dates::read(text, propagule_bench::dates::Reading::default()).expect("a day").first
    }

    #[test]
    fn the_day_that_was_meant_is_the_latest_that_has_been() {
        let today = civil::date(2026, 11, 26);
        let meant = |text: &str| meant(date(text).into(), today);
        assert_eq!(meant("2062-06-05"), Some(date("2026-06-05")));
        assert_eq!(meant("2027-11-26"), Some(date("2026-11-26")));
        assert_eq!(meant("2026-12-20"), Some(date("2025-12-20")));
        assert_eq!(meant("2028-02-29"), None);
    }

    #[test]
    fn a_day_of_the_last_century_is_a_slip_and_one_of_thirty_years_ago_is_none() {
        let today = civil::date(2026, 11, 26);
        let is_slip = |text: &str| is_long_past(date(text).into(), today);
        assert!(is_slip("1926-06-05") && is_slip("1975-12-31"));
        assert!(!is_slip("1976-01-01") && !is_slip("1996-06-05") && !is_slip("2026-06-05"));
        let meant = |text: &str| in_this_century(date(text).into(), today);
        assert_eq!(meant("1926-06-05"), Some(date("2026-06-05")));
        assert_eq!(meant("1926-12-05"), None);
        assert_eq!(meant("1904-02-29"), Some(date("2004-02-29")));
    }

    #[test]
    fn tomorrow_is_today_elsewhere_and_a_clock_that_was_never_set_says_nothing() {
        let clock = |text: &str| Clock::Fixed(text.parse().expect("an instant"));
        assert_eq!(last_day(clock("2026-11-26T10:00:00Z")), Some(date("2026-11-27")));
        assert_eq!(last_day(clock("1970-01-01T00:00:10Z")), None);
    }
}
