use proptest::prelude::*;

use super::*;

const NOTHING_ASKED: Reading = Reading { order: None, year: None };
const DAY_FIRST: Reading = Reading { order: Some(DayOrder::DayFirst), year: None };
const MONTH_FIRST: Reading = Reading { order: Some(DayOrder::MonthFirst), year: None };

fn day(text: &str) -> Date {
    text.parse().expect("a day")
}

fn span(first: &str, last: &str) -> When {
    When { first: day(first), last: day(last), is_about: false }
}

/// Reads where nothing needs asking.
fn plain(text: &str) -> When {
    read(text, NOTHING_ASKED).unwrap_or_else(|error| panic!("{text}: {error:?}"))
}

/// What is impossible about a text that is refused for that.
fn refusal(text: &str, reading: Reading) -> ImpossibleDate {
    match read(text, reading) {
        Err(DateQuestion::Impossible(typed, why)) if typed == text => why,
        other => panic!("{text}: {other:?}"),
    }
}

#[test]
fn a_day_in_each_spelling() {
    for text in [
        "2026-06-05",
        " 2026-6-5 ",
        "2026/06/05",
        "20260605",
        "5 June 2026",
        "5 june 2026",
        "5th of June, 2026",
        "5. Jun. 2026",
        "Jun 5 2026",
        "June 5th, 2026",
        "2026 June 5",
        "5-Jun-26",
        "5 June '26",
        "5\u{a0}June\u{2011}2026",
    ] {
        assert_eq!(plain(text), When::day(day("2026-06-05")), "{text}");
    }
    assert_eq!(plain("3 Sept 2026"), When::day(day("2026-09-03")));
    assert_eq!(plain("1 May 2026"), When::day(day("2026-05-01")));
}

#[test]
fn numbers_are_read_in_the_order_that_was_given() {
    for text in ["05/06/2026", "5.6.2026", "5.6.26", "05-06-26", "5-6-2026", "5 6 26"] {
        assert_eq!(read(text, DAY_FIRST), Ok(When::day(day("2026-06-05"))), "{text}");
        assert_eq!(read(text, MONTH_FIRST), Ok(When::day(day("2026-05-06"))), "{text}");
    }
    // A leading year of four digits settles everything.
    assert_eq!(read("2026-06-05", MONTH_FIRST), Ok(When::day(day("2026-06-05"))));
}

#[test]
fn two_readings_are_asked_about() {
    let question = DateQuestion::TwoReadings(day("2026-06-05"), day("2026-05-06"));
    for text in ["05/06/2026", "5.6.26", "about 5/6/2026", "05-06-26"] {
        assert_eq!(read(text, NOTHING_ASKED), Err(question.clone()), "{text}");
    }
}

#[test]
fn what_only_one_order_allows_is_taken() {
    assert_eq!(plain("5/25/2026"), When::day(day("2026-05-25")));
    assert_eq!(plain("25/5/2026"), When::day(day("2026-05-25")));
    assert_eq!(plain("5/5/2026"), When::day(day("2026-05-05")));
    assert_eq!(plain("1/6/2026 - 25/6/2026"), span("2026-06-01", "2026-06-25"));
}

#[test]
fn an_order_that_was_given_is_kept_to() {
    assert_eq!(refusal("5/25/2026", DAY_FIRST), ImpossibleDate::Month(25, Some(DayOrder::DayFirst)));
    assert_eq!(refusal("25/5/2026", MONTH_FIRST), ImpossibleDate::Month(25, Some(DayOrder::MonthFirst)));
}

#[test]
fn a_label_without_a_year_asks_for_it() {
    let both = DateQuestion::NeedsOrderAndYear("5 April".to_owned(), "4 May".to_owned());
    assert_eq!(read("5-4", NOTHING_ASKED), Err(both));
    for text in ["5 April", "5-Apr", "April 5"] {
        assert_eq!(read(text, NOTHING_ASKED), Err(DateQuestion::NeedsYear("5 April".to_owned())), "{text}");
    }
    assert_eq!(read("25-4", NOTHING_ASKED), Err(DateQuestion::NeedsYear("25 April".to_owned())));
    assert_eq!(read("5-4", DAY_FIRST), Err(DateQuestion::NeedsYear("5 April".to_owned())));
    assert_eq!(read("late May", NOTHING_ASKED), Err(DateQuestion::NeedsYear("late May".to_owned())));
    assert_eq!(
        read("28 May to 3 June", NOTHING_ASKED),
        Err(DateQuestion::NeedsYear("28 May to 3 June".to_owned()))
    );
    let answered = Reading { order: Some(DayOrder::MonthFirst), year: Some(2026) };
    assert_eq!(read("5-4", answered), Ok(When::day(day("2026-05-04"))));
    let of_2026 = Reading { year: Some(2026), ..NOTHING_ASKED };
    let two = DateQuestion::TwoReadings(day("2026-04-05"), day("2026-05-04"));
    assert_eq!(read("5-4", of_2026), Err(two));
    assert_eq!(
        read("5 April 2027", of_2026),
        Ok(When::day(day("2027-04-05"))),
        "a year that is there stands"
    );
}

#[test]
fn a_short_year_at_either_end_is_asked_about() {
    let question = DateQuestion::TwoYears(day("2026-06-25"), day("2025-06-26"));
    assert_eq!(read("25-06-26", NOTHING_ASKED), Err(question));
    let of_2026 = Reading { year: Some(2026), ..NOTHING_ASKED };
    assert_eq!(read("25-06-26", of_2026), Ok(When::day(day("2026-06-25"))));
    assert_eq!(read("25-06-26", DAY_FIRST), Ok(When::day(day("2026-06-25"))));
    assert_eq!(plain("25/06/26"), When::day(day("2026-06-25")), "only hyphens are usual with the year first");
    assert_eq!(plain("31-5-32"), When::day(day("2032-05-31")), "2031-05-32 does not exist");
}

#[test]
fn months_and_their_thirds() {
    for text in ["2026-06", "June 2026", "06/2026", "6.2026", "June '26", "2026 june"] {
        assert_eq!(plain(text), span("2026-06-01", "2026-06-30"), "{text}");
    }
    assert_eq!(read("jun 26", NOTHING_ASKED), Err(DateQuestion::NeedsYear("26 June".to_owned())));
    assert_eq!(plain("February 2028"), span("2028-02-01", "2028-02-29"));
    assert_eq!(plain("early June 2026"), span("2026-06-01", "2026-06-10"));
    assert_eq!(plain("mid-June 2026"), span("2026-06-11", "2026-06-20"));
    assert_eq!(plain("Late February 2026"), span("2026-02-21", "2026-02-28"));
    assert_eq!(plain("early 2026-06"), span("2026-06-01", "2026-06-10"));
}

#[test]
fn about_reaches_three_days_either_way() {
    let about = When { first: day("2026-06-03"), last: day("2026-06-09"), is_about: true };
    for text in [
        "about 2026-06-06",
        "About 6 June 2026",
        "~6 June 2026",
        "c. 2026-06-06",
        "2026-06-06?",
        "2026-06-06, about",
    ] {
        assert_eq!(plain(text), about, "{text}");
    }
    assert_eq!(about.to_string(), "2026-06-06, about");
    assert_eq!(middle(&about), day("2026-06-06"));
    let month = When { is_about: true, ..span("2026-06-01", "2026-06-30") };
    assert_eq!(plain("about June 2026"), month);
    assert_eq!(month.to_string(), "June 2026, about");
    let start = When { first: day("1900-01-01"), last: day("1900-01-04"), is_about: true };
    assert_eq!(plain("about 1900-01-01"), start, "days before 1900 do not exist here");
}

#[test]
fn ranges_lend_what_one_end_lacks() {
    let early = span("2026-06-01", "2026-06-10");
    for text in [
        "2026-06-01..2026-06-10",
        "2026-06-01 to 2026-06-10",
        "2026-06-01/2026-06-10",
        "2026-06-01 – 2026-06-10",
        "2026-06-01 - 2026-06-10",
        "from 1 June 2026 to 10 June 2026",
        "1-10 June 2026",
        "1 – 10 June 2026",
        "June 1-10 2026",
        "June 1–10, 2026",
        "1 June - 10 June 2026",
        "1st to 10th of June 2026",
    ] {
        assert_eq!(plain(text), early, "{text}");
    }
    assert_eq!(early.to_string(), "2026-06-01 to 2026-06-10");
    assert_eq!(plain("28 May-3 June 2026"), span("2026-05-28", "2026-06-03"));
    assert_eq!(plain("June-July 2026"), span("2026-06-01", "2026-07-31"));
    assert_eq!(plain("28 Dec to 3 Jan 2027"), span("2026-12-28", "2027-01-03"));
    assert_eq!(plain("28 Dec 2026 to 3 Jan"), span("2026-12-28", "2027-01-03"));
    assert_eq!(plain("early June to mid July 2026"), span("2026-06-01", "2026-07-20"));
    assert_eq!(middle(&early), day("2026-06-05"));
    let question = DateQuestion::TwoReadings(day("2026-06-10"), day("2026-10-06"));
    assert_eq!(read("10/6/2026 - 5/7/2026", NOTHING_ASKED), Err(question), "backwards proves nothing");
    let question = DateQuestion::TwoReadings(day("2026-06-01"), day("2026-01-06"));
    assert_eq!(read("1/6/2026 - 10/6/2026", NOTHING_ASKED), Err(question));
}

#[test]
fn days_that_do_not_exist_are_named() {
    let no_day = |day: &str| ImpossibleDate::Day(day.to_owned());
    assert_eq!(refusal("30/2/2026", NOTHING_ASKED), no_day("30 February 2026"));
    assert_eq!(refusal("2/30/2026", NOTHING_ASKED), no_day("30 February 2026"));
    assert_eq!(refusal("2026-02-29", NOTHING_ASKED), no_day("29 February 2026"));
    assert_eq!(refusal("31 June", NOTHING_ASKED), no_day("31 June"));
    assert_eq!(refusal("13/13/2026", NOTHING_ASKED), ImpossibleDate::Month(13, None));
    assert_eq!(refusal("5 June 1826", NOTHING_ASKED), ImpossibleDate::Year(1826));
    let of_2026 = Reading { year: Some(2026), ..NOTHING_ASKED };
    assert_eq!(refusal("29 February", of_2026), no_day("29 February 2026"));
    let backwards = ImpossibleDate::Range(day("2026-06-10"), day("2026-06-01"));
    assert_eq!(refusal("2026-06-10..2026-06-01", NOTHING_ASKED), backwards);
    assert_eq!(refusal("10-1 June 2026", NOTHING_ASKED), backwards);
}

#[test]
fn other_texts_are_no_dates() {
    for text in [
        "",
        " ",
        "?",
        "about",
        "2026",
        "5",
        "spring 2026",
        "last week",
        "june june 2026",
        "early 5 June 2026",
        "5 June 2026 10:30",
        "5:6:2026",
        "1 2 3 4",
        "5 June 126",
        "2026-06-01..",
        "..",
        "5 ju 2026",
        "ma 2026",
        "2026-06-01..2026-06-05..2026-06-10",
        "999999999",
        "5 - 4 - 3 - 2",
        "٥ June 2026",
        "early",
        "1..10",
        "2026-06-05T10:00",
        "-5 June 2026 +",
        "2026-W23",
    ] {
        let answer = read(text, NOTHING_ASKED);
        assert!(matches!(answer, Err(DateQuestion::NotADate(_))), "{text}: {answer:?}");
    }
}

#[test]
fn stored_as_text() {
    let when = plain("about 2026-06-06");
    let json = serde_json::to_string(&when).expect("writes");
    assert_eq!(json, "\"2026-06-06, about\"");
    assert_eq!(serde_json::from_str::<When>(&json).expect("reads"), when);
    assert!(serde_json::from_str::<When>("\"5/6/2026\"").is_err(), "nothing is guessed in a journal");
}

fn any_when() -> impl Strategy<Value = When> {
    let days = 300 * 365 + 72;
    (0..days, 0..400_i32, any::<bool>()).prop_map(move |(first, length, is_about)| {
        let at = |days| day("1900-01-01").plus_days(days).expect("within the years");
        When { first: at(first), last: at((first + length).min(days)), is_about }
    })
}

proptest! {
    #[test]
    fn what_is_shown_reads_back(when in any_when()) {
        prop_assert_eq!(read(&when.to_string(), NOTHING_ASKED), Ok(when));
    }

    #[test]
    fn short_spans_and_whole_months_read_back(first in 0..109_000_i32, length in 0..9_i32, is_about: bool) {
        let first = day("1900-01-01").plus_days(first).expect("within the years");
        let last = first.plus_days(length).expect("within the years");
        let when = When { first, last, is_about };
        prop_assert_eq!(read(&when.to_string(), NOTHING_ASKED), Ok(when));
        let first = Date::new(first.year(), first.month(), 1).expect("a day");
        let last = month_end(first.year(), first.month()).expect("a day");
        let month = When { first, last, is_about };
        let words = format!("{} {}", part::month_name(first.month()), first.year());
        prop_assert!(month.to_string().starts_with(&words), "{}", month);
        prop_assert_eq!(read(&month.to_string(), NOTHING_ASKED), Ok(month));
    }

    #[test]
    fn no_text_makes_it_panic(text in "\\PC{0,30}", year in proptest::option::of(0..3000_u16)) {
        let _ = read(&text, Reading { order: None, year });
        let _ = read(&text, Reading { order: Some(DayOrder::MonthFirst), year });
    }

    #[test]
    fn no_mix_of_pieces_makes_it_panic(pieces in proptest::collection::vec(prop_oneof![
        Just("5".to_owned()), Just("2026".to_owned()), Just("june".to_owned()), Just("-".to_owned()), Just("..".to_owned()),
        Just(" to ".to_owned()), Just("/".to_owned()), Just("mid ".to_owned()), Just("about ".to_owned()), Just(" ".to_owned()),
        Just("31".to_owned()), Just("é".to_owned()), Just("?".to_owned()), Just("'26".to_owned()), Just("00".to_owned()),
    ], 0..12)) {
        if let Ok(when) = read(&pieces.concat(), NOTHING_ASKED) {
            prop_assert!(when.first <= when.last);
        }
    }
}
