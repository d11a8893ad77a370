//! Why a text was not read as a date, in words.

use std::fmt::Display;

use propagule_bench::dates::{DateQuestion, DayOrder, ImpossibleDate};

/// The reading that the reader is used to comes first.
pub(super) fn question(question: &DateQuestion, first: DayOrder) -> String {
    match question {
        DateQuestion::TwoReadings(day_first, month_first) => {
            format!("can be read as {}", either(day_first, month_first, first))
        }
        DateQuestion::TwoYears(last, first) => format!(
            "can be read as {last} (year last) or {first} (year first): write the year with four digits"
        ),
        DateQuestion::NeedsYear(read) => format!("{read} of which year?"),
        DateQuestion::NeedsOrderAndYear(day_first, month_first) => {
            format!("{}, and of which year?", either(day_first, month_first, first))
        }
        DateQuestion::Impossible(text, why) => impossible(text, why),
        DateQuestion::TodayOrLastWeek(text, today) => {
            format!("`{text}` can be today, {today}, or the one before")
        }
        DateQuestion::NotADate(text) => format!(
            "`{text}` is no date; write a day (2026-06-05, 5 June 2026), a month (June 2026), \"about\" before either, \
             or a range (2026-06-01..2026-06-10)"
        ),
    }
}

fn either(day_first: &impl Display, month_first: &impl Display, first: DayOrder) -> String {
    let (day_first, month_first) =
        (format!("{day_first} (day first)"), format!("{month_first} (month first)"));
    match first {
        DayOrder::DayFirst => format!("{day_first} or {month_first}"),
        DayOrder::MonthFirst => format!("{month_first} or {day_first}"),
    }
}

fn impossible(text: &str, why: &ImpossibleDate) -> String {
    match why {
        ImpossibleDate::Year(year) => format!("`{text}`: the year {year} is not among 1900 to 2199"),
        ImpossibleDate::Month(month, order) => {
            let read = match order {
                Some(DayOrder::DayFirst) => " (read day first)",
                Some(DayOrder::MonthFirst) => " (read month first)",
                None => "",
            };
            format!("`{text}`: there is no month {month}{read}")
        }
        ImpossibleDate::Day(day) => format!("`{text}`: there is no {day}"),
        ImpossibleDate::Range(first, last) => {
            format!("`{text}`: the range ends, on {last}, before it begins, on {first}")
        }
        ImpossibleDate::BeforeDays => format!("`{text}` is before the days that are known here"),
    }
}

#[cfg(test)]
mod tests {
    use propagule_bench::dates::{Reading, read};

    use super::*;

    fn said(text: &str, order: Option<DayOrder>) -> String {
        let reading = Reading { order, ..Reading::default() };
        question(&read(text, reading).expect_err("it is not read"), DayOrder::DayFirst)
    }

    #[test]
    fn a_reader_s_own_order_comes_first() {
        let asked = |text: &str| read(text, Reading::default()).expect_err("it is not read");
        for text in ["5/6/2026", "5/6"] {
            let [ours, theirs] =
                [DayOrder::DayFirst, DayOrder::MonthFirst].map(|first| question(&asked(text), first));
            assert!(ours.find("(day first)") < ours.find("(month first)"), "{ours}");
            assert!(theirs.find("(month first)") < theirs.find("(day first)"), "{theirs}");
        }
    }

    #[test]
    fn each_question_names_what_was_typed_or_both_readings() {
        let two = said("5/6/2026", None);
        assert_eq!(two, "can be read as 2026-06-05 (day first) or 2026-05-06 (month first)");
        let years = said("25-06-26", None);
        assert!(years.starts_with("can be read as 2026-06-25 (year last) or 2025-06-26"), "{years}");
        assert_eq!(said("5 April", None), "5 April of which year?");
        assert_eq!(said("5-4", None), "5 April (day first) or 4 May (month first), and of which year?");
        assert!(said("spring 2026", None).starts_with("`spring 2026` is no date; write a day (2026-06-05"));
    }

    #[test]
    fn what_does_not_exist_is_named() {
        assert_eq!(
            said("5/25/2026", Some(DayOrder::DayFirst)),
            "`5/25/2026`: there is no month 25 (read day first)"
        );
        assert_eq!(said("13/13/2026", None), "`13/13/2026`: there is no month 13");
        assert_eq!(said("30/2/2026", None), "`30/2/2026`: there is no 30 February 2026");
        assert_eq!(said("31 June", None), "`31 June`: there is no 31 June");
        assert_eq!(said("5 June 1826", None), "`5 June 1826`: the year 1826 is not among 1900 to 2199");
        assert_eq!(
            said("10-1 June 2026", None),
            "`10-1 June 2026`: the range ends, on 2026-06-01, before it begins, on 2026-06-10"
        );
    }
}
