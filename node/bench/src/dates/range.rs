//! Whole dates: "about", ranges, and the question of what comes first.

use propagule_protocol::Date;

use super::part::{Fault, Part, month_of_word};
use super::{DateQuestion, DayOrder, ImpossibleDate, Reading, When};

/// Words before a date, or after it, that make it "about".
const ABOUT_BEFORE: [&str; 9] =
    ["about ", "around ", "approximately ", "approx. ", "approx ", "circa ", "ca. ", "c. ", "~"];
const ABOUT_AFTER: [&str; 3] = [", about", " about", "?"];

/// Signs and words between the ends of a range.
const BETWEEN: [&str; 8] = ["...", "..", "…", "–", "—", " to ", " until ", " till "];

/// A turn of the year inside a range without both years is believed when so many months lie between.
const TURN_MONTHS: u8 = 6;

/// What a grower typed as a date.
///
/// With [`Reading::order`] the other order is never tried. Without it, an order that gives a day that does not
/// exist is left out. [`Reading::year`] is used only where the text has no year, and takes `25-06-26` for a day of
/// 2026 when it says so.
///
/// # Errors
/// The question to ask, or why the text is not a date.
pub fn read(text: &str, reading: Reading) -> Result<When, DateQuestion> {
    let tidy = tidied(text);
    let (bare, is_about) = without_about(&tidy);
    let halves = halves(bare);
    if reading.order.is_none() {
        for half in halves.iter() {
            ask_for_long_year(half, reading.year)?;
        }
    }
    let evaluated = |order| evaluate(&halves, order, reading.year);
    let when = match reading.order {
        Some(order) => evaluated(order).map_err(|fault| question(text, fault, Some(order)))?,
        None => settled(text, evaluated(DayOrder::DayFirst), evaluated(DayOrder::MonthFirst))?,
    };
    let is_one_day = when.first == when.last && matches!(halves, Halves::One(_));
    Ok(if is_about && is_one_day { When::about(when.first) } else { When { is_about, ..when } })
}

/// One date, or the two ends of a range.
#[derive(Debug)]
enum Halves {
    One(String),
    Two(String, String),
}

impl Halves {
    fn iter(&self) -> impl Iterator<Item = &str> {
        let (first, second) = match self {
            Self::One(one) => (one, None),
            Self::Two(first, second) => (first, Some(second)),
        };
        std::iter::once(first).chain(second).map(String::as_str)
    }
}

/// Lower case, plain hyphens and apostrophes, single spaces.
fn tidied(text: &str) -> String {
    let plain = text.to_lowercase().replace(['\u{2010}', '\u{2011}'], "-").replace(['’', '‘'], "'");
    plain.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn without_about(text: &str) -> (&str, bool) {
    let before = ABOUT_BEFORE.iter().find_map(|word| text.strip_prefix(word));
    let after = ABOUT_AFTER.iter().find_map(|word| before.unwrap_or(text).strip_suffix(word));
    let bare = after.or(before).unwrap_or(text).trim();
    (bare, before.is_some() || after.is_some())
}

fn halves(text: &str) -> Halves {
    let text = text.strip_prefix("from ").unwrap_or(text);
    let clear = BETWEEN.iter().find_map(|between| text.split_once(between));
    let split =
        clear.or_else(|| spaced_hyphen(text)).or_else(|| lone_hyphen(text)).or_else(|| iso_slash(text));
    match split {
        Some((first, second)) => {
            let (first, second) = (first.trim(), second.trim());
            Halves::Two(first.to_owned(), with_month_of(first, second))
        }
        None => Halves::One(text.to_owned()),
    }
}

/// `1 - 10 June 2026`, but not `5 - 4`, which is one date.
fn spaced_hyphen(text: &str) -> Option<(&str, &str)> {
    let (first, second) = text.split_once(" - ")?;
    let has_words = month_words(text) > 0;
    let numbers =
        |half: &str| half.split(|c: char| !c.is_ascii_digit()).filter(|run| !run.is_empty()).count();
    let is_range = has_words || (numbers(first) >= 2 && numbers(second) >= 2);
    (is_range && !second.contains(" - ")).then_some((first, second))
}

/// `1-10 June 2026`, `28 May-3 June 2026`, `June-July 2026`.
fn lone_hyphen(text: &str) -> Option<(&str, &str)> {
    let (first, second) = text.split_once('-').filter(|(_, second)| !second.contains('-'))?;
    let is_between_digits =
        first.ends_with(|c: char| c.is_ascii_digit()) && second.starts_with(|c: char| c.is_ascii_digit());
    let words = month_words(text);
    (words == 2 || (words == 1 && is_between_digits)).then_some((first, second))
}

/// `2026-06-01/2026-06-10`, an interval of ISO 8601.
fn iso_slash(text: &str) -> Option<(&str, &str)> {
    let is_iso = |half: &str| half.len() >= 7 && half.as_bytes()[4] == b'-';
    text.split_once('/').filter(|(first, second)| is_iso(first) && is_iso(second))
}

fn month_words(text: &str) -> usize {
    text.split(|c: char| !c.is_ascii_lowercase()).filter(|word| month_of_word(word).is_some()).count()
}

/// The month's word of `June 1` is meant for `10, 2026` too.
fn with_month_of(first: &str, second: &str) -> String {
    let word = first.split(|c: char| !c.is_ascii_lowercase()).find(|word| month_of_word(word).is_some());
    let has_day = first.split(|c: char| !c.is_ascii_digit()).any(|run| (1..=2).contains(&run.len()));
    let starts_with_day = second.find(|c: char| !c.is_ascii_digit()).unwrap_or(second.len()) <= 2;
    let is_bare = month_words(second) == 0 && !second.contains(['/', '.', '-']);
    match word {
        Some(word) if has_day && starts_with_day && is_bare => format!("{word} {second}"),
        _ => second.to_owned(),
    }
}

/// Refuses `25-06-26`, which is the 25th of a month of 2026, or the 26th of one of 2025.
fn ask_for_long_year(half: &str, year: Option<u16>) -> Result<(), DateQuestion> {
    let parts: Vec<&str> = half.split('-').collect();
    let [a, b, c] = parts[..] else { return Ok(()) };
    let is_short = |part: &str, least: usize| (least..=2).contains(&part.len());
    let (true, Ok(a), Ok(b), Ok(c)) = (
        is_short(a, 2) && is_short(b, 1) && is_short(c, 2),
        a.parse::<u8>(),
        b.parse::<u8>(),
        c.parse::<u8>(),
    ) else {
        return Ok(());
    };
    let in_2000 = |year: u8, month, day| Date::new(2000 + u16::from(year), month, day);
    let lasts = [in_2000(c, b, a), in_2000(c, a, b)];
    let ([Some(last), None] | [None, Some(last)]) = lasts else { return Ok(()) };
    match in_2000(a, b, c) {
        Some(first) if first != last && year != Some(last.year()) => Err(DateQuestion::TwoYears(last, first)),
        _ => Ok(()),
    }
}

fn evaluate(halves: &Halves, order: DayOrder, year: Option<u16>) -> Result<When, Fault> {
    let (first, last) = match halves {
        Halves::One(text) => {
            let part = Part::read(text, order)?;
            Part { year: part.year.or(year), ..part }.span()?
        }
        Halves::Two(first, second) => range(Part::read(first, order)?, Part::read(second, order)?, year)?,
    };
    Ok(When { first, last, is_about: false })
}

/// First and last day of a range whose ends lend each other what one of them lacks.
fn range(mut first: Part, mut second: Part, year: Option<u16>) -> Result<(Date, Date), Fault> {
    first.month = first.month.or(second.month);
    second.month = second.month.or(first.month);
    let (Some(begin), Some(end)) = (first.month, second.month) else { return Err(Fault::NotADate) };
    let turn = u16::from(begin >= end + TURN_MONTHS);
    match (first.year, second.year) {
        (Some(_), Some(_)) => {}
        (None, Some(year)) => first.year = Some(year - turn),
        (Some(year), None) => second.year = Some(year + turn),
        (None, None) => (first.year, second.year) = (year, year),
    }
    if first.year.is_none() {
        return Err(Fault::NeedsYear(format!("{} to {}", first.words(), second.words())));
    }
    let ((first, _), (_, last)) = (first.span()?, second.span()?);
    if first > last {
        return Err(Fault::Backwards(first, last));
    }
    Ok((first, last))
}

/// What both orders together say.
fn settled(
    text: &str,
    day_first: Result<When, Fault>,
    month_first: Result<When, Fault>,
) -> Result<When, DateQuestion> {
    match (day_first, month_first) {
        (Ok(a), Ok(b)) if a == b => Ok(a),
        (Ok(a), Ok(b)) if a.first == b.first => Err(DateQuestion::TwoReadings(a.last, b.last)),
        (Ok(a), Ok(b)) => Err(DateQuestion::TwoReadings(a.first, b.first)),
        // A range that runs backwards in one order is no proof of the other.
        (Ok(a), Err(Fault::Backwards(first, _))) => Err(DateQuestion::TwoReadings(a.first, first)),
        (Err(Fault::Backwards(first, _)), Ok(b)) => Err(DateQuestion::TwoReadings(first, b.first)),
        (Err(Fault::NeedsYear(a)), Err(Fault::NeedsYear(b))) if a != b => {
            Err(DateQuestion::NeedsOrderAndYear(a, b))
        }
        (Err(fault @ Fault::NeedsYear(_)), _) | (_, Err(fault @ Fault::NeedsYear(_))) => {
            Err(question(text, fault, None))
        }
        (Ok(when), Err(_)) | (Err(_), Ok(when)) => Ok(when),
        // A day that is missing in its month says more than a month that does not exist.
        (Err(Fault::NoMonth(_)), Err(fault @ (Fault::NoDay(_) | Fault::NoYear(_)))) | (Err(fault), _) => {
            Err(question(text, fault, None))
        }
    }
}

fn question(text: &str, fault: Fault, order: Option<DayOrder>) -> DateQuestion {
    let text = text.trim().to_owned();
    match fault {
        Fault::NotADate => DateQuestion::NotADate(text),
        Fault::NeedsYear(words) => DateQuestion::NeedsYear(words),
        Fault::NoYear(year) => DateQuestion::Impossible(text, ImpossibleDate::Year(year)),
        Fault::NoMonth(month) => DateQuestion::Impossible(text, ImpossibleDate::Month(month, order)),
        Fault::NoDay(day) => DateQuestion::Impossible(text, ImpossibleDate::Day(day)),
        Fault::Backwards(first, last) => DateQuestion::Impossible(text, ImpossibleDate::Range(first, last)),
    }
}
