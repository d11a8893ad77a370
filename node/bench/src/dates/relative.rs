//! Days by how long ago they were: `today`, `yesterday`, `3 days ago`, `2 weeks ago`, and a weekday, which is the
//! last one.

use propagule_protocol::Date;

use super::{DateQuestion, ImpossibleDate, Reading, When, read};

/// Weekdays from Monday; three letters or more of one name it.
const WEEKDAYS: [&str; 7] = ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"];
/// 1 January 1900 was a Monday.
const A_MONDAY: (u16, u8, u8) = (1900, 1, 1);
/// No growing season lies further back; what is longer ago is written as a day.
const MOST_DAYS: i32 = 3_660;

/// Reads a day as [`read`] does, or by how long before `today` it was.
///
/// # Errors
/// As [`read`]; and a weekday that today is itself, which could be today or a week ago.
pub fn read_on(text: &str, reading: Reading, today: Date) -> Result<When, DateQuestion> {
    let tidy = text.trim().to_lowercase();
    let words: Vec<&str> = tidy.split_whitespace().collect();
    let days = match words[..] {
        ["today"] => Some(0),
        ["yesterday"] => Some(1),
        [number, unit, "ago"] => ago(number, unit),
        [day] => match weekday(day).map(|day| since(day, today)) {
            Some(0) => return Err(DateQuestion::TodayOrLastWeek(text.trim().to_owned(), today)),
            days => days,
        },
        ["last", day] => weekday(day).map(|day| match since(day, today) {
            0 => 7,
            days => days,
        }),
        _ => None,
    };
    match days {
        Some(days) => today
            .plus_days(-days)
            .map(When::day)
            .ok_or_else(|| DateQuestion::Impossible(text.trim().to_owned(), ImpossibleDate::BeforeDays)),
        None => read(text, reading),
    }
}

fn ago(number: &str, unit: &str) -> Option<i32> {
    let number = match number {
        "a" | "one" => 1,
        _ => number.parse::<i32>().ok().filter(|n| *n >= 0)?,
    };
    let days = match unit {
        "day" | "days" => 1,
        "week" | "weeks" => 7,
        _ => return None,
    };
    number.checked_mul(days).filter(|days| *days <= MOST_DAYS)
}

/// Number of a weekday from Monday.
fn weekday(word: &str) -> Option<i32> {
    let is_it = |name: &str| word.len() >= 3 && name.starts_with(word);
    WEEKDAYS.iter().position(|name| is_it(name)).map(|at| at as i32)
}

/// Days from the last such weekday to today.
fn since(day: i32, today: Date) -> i32 {
    let (year, month, first) = A_MONDAY;
    let monday = Date::new(year, month, first).expect("a day of the calendar");
    (today.days_since(monday) - day).rem_euclid(7)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> Date {
        text.parse().expect("a day")
    }

    /// 15 June 2026 is a Monday by the calendar rule of ISO 8601 (2000-01-01 was a Saturday).
    const MONDAY: &str = "2026-06-15";

    fn said(text: &str) -> Result<Date, DateQuestion> {
        let when = read_on(text, Reading::default(), day(MONDAY))?;
        assert_eq!(when.first, when.last, "{text}");
        Ok(when.first)
    }

    #[test]
    fn days_are_named_by_how_long_ago_they_were() {
        for (text, expected) in [
            ("today", MONDAY),
            ("Yesterday", "2026-06-14"),
            ("3 days ago", "2026-06-12"),
            ("a week ago", "2026-06-08"),
            ("2 weeks ago", "2026-06-01"),
            ("0 days ago", MONDAY),
            ("sunday", "2026-06-14"),
            ("Tue", "2026-06-09"),
            ("saturday", "2026-06-13"),
            ("last friday", "2026-06-12"),
            ("last monday", "2026-06-08"),
            ("5 June 2026", "2026-06-05"),
        ] {
            assert_eq!(said(text), Ok(day(expected)), "{text}");
        }
    }

    #[test]
    fn the_weekday_of_today_is_asked_about() {
        assert_eq!(said("monday"), Err(DateQuestion::TodayOrLastWeek("monday".to_owned(), day(MONDAY))));
    }

    #[test]
    fn other_words_are_no_days() {
        for text in
            ["tomorrow", "mo", "days ago", "x days ago", "-1 days ago", "99999 days ago", "3 moons ago"]
        {
            assert!(said(text).is_err(), "{text}");
        }
        // March is a month and not a weekday.
        assert!(matches!(said("march"), Err(DateQuestion::NeedsYear(_))));
    }

    #[test]
    fn every_weekday_lies_within_the_last_week() {
        for ahead in 0..14 {
            let today = day(MONDAY).plus_days(ahead).expect("a day");
            for name in WEEKDAYS {
                let Ok(when) = read_on(name, Reading::default(), today) else { continue };
                assert!((1..7).contains(&today.days_since(when.first)), "{name} on {today}");
                assert_eq!(
                    when.first.days_since(day(MONDAY)).rem_euclid(7),
                    weekday(name).expect("a weekday")
                );
            }
        }
    }
}
