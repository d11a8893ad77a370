//! The sentence book: one function a sentence, by the name of its id. It takes the wording first, then what it states.
//!
//! A sentence ends with its stop; a part of a list, such as `green`, has none. Nothing here knows an answer or an outcome:
//! what makes those into words calls these. Each is shown at 0, 1 and n, for cuttings and grafts, in `node/docs/words.json`,
//! which a test writes.

pub mod beside;
pub mod borrowed;
pub mod comparing;
pub mod due;
pub mod entries;
pub mod growers;
pub mod planning;
pub mod pooled;
pub mod rates;
pub mod setup;
pub mod sharing;
#[cfg(test)]
mod tests;

use propagule_bench::dates::{MONTHS, When};
use propagule_bench::locale::DateStyle;
use propagule_protocol::Date;

use crate::kind::KindWords;
use crate::number::{percent, percent_in_sentence};

/// `a, b and c`.
pub fn and<T: AsRef<str>>(names: &[T]) -> String {
    listed(names, "and")
}

/// `a, b or c`.
pub fn or<T: AsRef<str>>(names: &[T]) -> String {
    listed(names, "or")
}

fn listed<T: AsRef<str>>(names: &[T], last_by: &str) -> String {
    match names {
        [] => String::new(),
        [one] => one.as_ref().to_owned(),
        [first @ .., last] => {
            let first: Vec<&str> = first.iter().map(AsRef::as_ref).collect();
            format!("{} {last_by} {}", first.join(", "), last.as_ref())
        }
    }
}

/// `1 trial`, `12 trials`, thousands apart.
pub fn number_of(count: impl TryInto<u64>, one: &str, many: &str) -> String {
    let count = count.try_into().unwrap_or(u64::MAX);
    format!("{} {}", crate::number::grouped(count), if count == 1 { one } else { many })
}

/// A rate as tables and brackets have it: `75%`, `7.5%`.
pub fn per_cent(rate: f64) -> String {
    format!("{}%", percent(rate))
}

/// A rate as a sentence has it.
pub fn rate_of(rate: f64) -> String {
    percent_in_sentence(rate)
}

/// A rate that was rounded, as a sentence has it: `about 5%`, or `less than 0.1%`.
pub fn about(rate: f64) -> String {
    let said = percent_in_sentence(rate);
    if said.starts_with(|c: char| c.is_ascii_digit()) { format!("about {said}") } else { said }
}

/// `47–91%`.
pub fn between(low: f64, high: f64) -> String {
    format!("{}\u{2013}{}%", percent(low), percent(high))
}

/// `p = 0.40`, two digits; `p < 0.001` below.
pub fn p_value(p: f64) -> String {
    if p < 0.001 {
        return "p < 0.001".to_owned();
    }
    // Two significant digits: as many decimals as there are noughts behind the point, and two.
    let decimals = if p >= 0.1 {
        2
    } else if p >= 0.01 {
        3
    } else {
        4
    };
    format!("p = {p:.decimals$}")
}

/// `about 3 times in 100`, `about 1 time in 100`, `fewer than 1 time in 100`.
pub fn times_in_100(p: f64) -> String {
    match (100.0 * p).round() as u32 {
        _ if p < 0.005 => "fewer than 1 time in 100".to_owned(),
        0 | 1 => "about 1 time in 100".to_owned(),
        100 => "nearly every time".to_owned(),
        many => format!("about {many} times in 100"),
    }
}

/// A day as the reader writes it: Jun 5, 2026, or 5 Jun 2026.
pub fn day(words: &KindWords, day: Date) -> String {
    let month = &MONTHS[usize::from(day.month()) - 1][..3];
    match words.locale.date_style {
        DateStyle::MonthFirst => format!("{month} {}, {}", day.day(), day.year()),
        DateStyle::DayFirst => format!("{} {month} {}", day.day(), day.year()),
    }
}

/// Days as they are known: about Jun 6, 2026; Jun 2026; Jun 1–10, 2026.
pub fn when(words: &KindWords, when: &When) -> String {
    let (first, last) = (when.first, when.last);
    let about = if when.is_about { "about " } else { "" };
    let is_about_a_day = *when == When::about(when.middle()) && last.days_since(first) > 0;
    if is_about_a_day {
        return format!("about {}", day(words, when.middle()));
    }
    if first == last {
        return format!("{about}{}", day(words, first));
    }
    let month = |day: Date| &MONTHS[usize::from(day.month()) - 1][..3];
    let is_one_month = first.year() == last.year() && first.month() == last.month();
    let is_whole_month = is_one_month && first.day() == 1 && next_day_is_first(last);
    match words.locale.date_style {
        _ if is_whole_month => format!("{about}{} {}", month(first), first.year()),
        DateStyle::MonthFirst if is_one_month => {
            format!("{about}{} {}\u{2013}{}, {}", month(first), first.day(), last.day(), first.year())
        }
        DateStyle::DayFirst if is_one_month => {
            format!("{about}{}\u{2013}{} {} {}", first.day(), last.day(), month(first), first.year())
        }
        _ => format!("{about}{} to {}", day(words, first), day(words, last)),
    }
}

/// A day behind a verb: on Jun 6, 2026; about Jun 6, 2026; in Jun 2026.
pub fn on(date: &str) -> String {
    let is_month = MONTHS.iter().any(|month| {
        let year = date.strip_prefix(&month[..3]).and_then(|rest| rest.strip_prefix(' '));
        year.is_some_and(|year| year.split(',').next().is_some_and(|year| year.len() == 4))
    });
    match date {
        about if about.starts_with("about ") => about.to_owned(),
        month if is_month => format!("in {month}"),
        day => format!("on {day}"),
    }
}

fn next_day_is_first(day: Date) -> bool {
    day.plus_days(1).is_none_or(|next| next.day() == 1)
}
