//! Whether the clock can be believed: what is signed states its month for ever, and a wrong one cannot be taken back.

use std::collections::BTreeSet;

use jiff::ToSpan;
use jiff::civil::{Date, date};
use propagule_protocol::{AuthorKey, Month};

use crate::App;
use propagule_files::fault::Fault;

/// No record was ever signed before this day: a clock before it is wrong.
pub(crate) const RELEASED: Date = date(2026, 11, 1);
/// A program is used for so many months without anything being said of the clock.
const MONTHS_OF_A_RELEASE: i32 = 24;
/// A home may rest for so many months: a year and a month over.
const MONTHS_OF_REST: i32 = 13;
/// Results of others are never so many months older than now, where anything is heard of them.
const MONTHS_BEHIND: i32 = 2;
/// Others who must have signed in a month or later, before it says what month it is: one key could say anything.
const WITNESSES: usize = 3;
/// Records looked at for that, the newest first.
const LOOKED_AT: usize = 2_000;

/// Refuses to sign by a clock that cannot be right, or that is too far ahead of all that is known, unless the grower has
/// said that it is right.
pub(crate) fn check_clock(app: &App) -> Result<(), Fault> {
    let today = app.clock.today();
    if today < RELEASED {
        return Err(Fault::usage("clock-before-release").with("today", today).with("released", RELEASED));
    }
    if !is_far_ahead(today, last_used(app)) || is_said_to_be_right(app, today)? {
        return Ok(());
    }
    match newest_of_others(app)? {
        None => Err(Fault::usage("clock-far-ahead").with("today", today).with("released", RELEASED)),
        Some(newest) if today < months_after(first_of(newest), MONTHS_BEHIND + 1) => Ok(()),
        Some(newest) => {
            Err(Fault::usage("clock-ahead-of-others").with("today", today).with("newest", newest))
        }
    }
}

/// Whether a day is long after the release, or long after the last time this home was used.
fn is_far_ahead(today: Date, last_used: Option<Date>) -> bool {
    let rested = |last: Date| today > months_after(last, MONTHS_OF_REST);
    today > months_after(RELEASED, MONTHS_OF_A_RELEASE) || last_used.is_some_and(rested)
}

/// When the newest entry at the bench was typed.
fn last_used(app: &App) -> Option<Date> {
    let bench = app.bench();
    let days = bench.recorded().filter_map(|(_, recorded)| recorded.at.get(..10)?.parse().ok());
    days.max()
}

/// Whether the grower has said of a day that the clock was right, and it is not long after that.
fn is_said_to_be_right(app: &App, today: Date) -> Result<bool, Fault> {
    let said = app.home.config()?.clock_right.and_then(|day| day.parse::<Date>().ok());
    Ok(said.is_some_and(|said| today >= said && today <= months_after(said, MONTHS_OF_REST)))
}

/// The newest month in which, or after which, enough others have signed.
fn newest_of_others(app: &App) -> Result<Option<Month>, Fault> {
    let own: BTreeSet<AuthorKey> = app.keys().public().into_iter().collect();
    let (mut others, mut looked_at) = (BTreeSet::new(), 0);
    for row in app.store.months().into_iter().rev() {
        for id in app.store.ids_in_month(row.month)? {
            if looked_at >= LOOKED_AT {
                return Ok(None);
            }
            looked_at += 1;
            let author = app.store.record(&id)?.map(|signed| signed.author);
            others.extend(author.filter(|author| !own.contains(author)));
            if others.len() >= WITNESSES {
                return Ok(Some(row.month));
            }
        }
    }
    Ok(None)
}

fn first_of(month: Month) -> Date {
    Date::new(month.year() as i16, month.month() as i8, 1).unwrap_or(RELEASED)
}

/// The last day that there is, where a calendar has none so late.
fn months_after(day: Date, months: i32) -> Date {
    day.checked_add(months.months()).unwrap_or(Date::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_clock_is_doubted_long_after_the_release_or_after_a_long_rest() {
        for (today, last_used, is_doubted) in [
            (date(2026, 11, 1), None, false),
            (date(2028, 11, 1), None, false),
            (date(2028, 11, 2), None, true),
            (date(2066, 11, 28), Some(date(2066, 11, 27)), true),
            (date(2028, 1, 5), Some(date(2026, 12, 5)), false),
            (date(2028, 1, 6), Some(date(2026, 12, 5)), true),
        ] {
            assert_eq!(is_far_ahead(today, last_used), is_doubted, "{today} after {last_used:?}");
        }
    }
}
