//! One date, whole or with parts missing, from words and numbers.

use propagule_protocol::Date;

use super::{DayOrder, month_end};

/// The English names of the months, January first.
pub const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// The English name of a month, 1 to 12.
pub(super) fn month_name(month: u8) -> &'static str {
    MONTHS[usize::from(month - 1)]
}

/// The month that a lower-case word of at least three letters begins.
pub(super) fn month_of_word(word: &str) -> Option<u8> {
    let word = if word == "sept" { "sep" } else { word };
    let is_it = |name: &&str| *name == word || (word.len() == 3 && name.starts_with(word));
    let names: Vec<String> = MONTHS.iter().map(|name| name.to_lowercase()).collect();
    names.iter().position(|name| is_it(&name.as_str())).map(|at| at as u8 + 1)
}

/// Why a part cannot be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Fault {
    /// Not understood.
    NotADate,
    /// A month that does not exist; another order may help.
    NoMonth(u8),
    /// A day that does not exist, such as "30 February".
    NoDay(String),
    /// A year that is too early or too late.
    NoYear(u16),
    /// Ends before it begins.
    Backwards(Date, Date),
    /// The year is missing.
    NeedsYear(String),
}

/// A third of a month.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Third {
    Early,
    Mid,
    Late,
}

/// What one date says.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Part {
    pub(super) year: Option<u16>,
    pub(super) month: Option<u8>,
    pub(super) day: Option<u8>,
    pub(super) third: Option<Third>,
}

/// A run of digits.
#[derive(Clone, Copy, Debug)]
struct Number {
    value: u32,
    digits: usize,
    is_year: bool,
}

/// Words and numbers of a date.
#[derive(Debug, Default)]
struct Pieces {
    numbers: Vec<Number>,
    month: Option<u8>,
    third: Option<Third>,
}

impl Part {
    /// Reads a date in lower case.
    pub(super) fn read(text: &str, order: DayOrder) -> Result<Self, Fault> {
        let pieces = Pieces::of(text)?;
        let part = match pieces.month {
            Some(month) => Self::beside_word(month, &pieces.numbers)?,
            None => Self::of_numbers(&pieces.numbers, order)?,
        };
        let part = Self { third: pieces.third, ..part };
        let is_third_of_month = part.month.is_some() && part.day.is_none();
        if part.third.is_some() && !is_third_of_month { Err(Fault::NotADate) } else { part.checked() }
    }

    fn beside_word(month: u8, numbers: &[Number]) -> Result<Self, Fault> {
        let month = Some(month);
        Ok(match *numbers {
            [] => Self { month, ..Self::default() },
            [year] if year.is_year => Self { month, year: Some(year.year()?), ..Self::default() },
            [day] => Self { month, day: Some(day.small()?), ..Self::default() },
            [year, day] if year.is_year && !day.is_year => {
                Self { month, year: Some(year.year()?), day: Some(day.small()?), ..Self::default() }
            }
            [day, year] => {
                Self { month, year: Some(year.year()?), day: Some(day.small()?), ..Self::default() }
            }
            _ => return Err(Fault::NotADate),
        })
    }

    fn of_numbers(numbers: &[Number], order: DayOrder) -> Result<Self, Fault> {
        let dated =
            |year: Option<u16>, month: Option<u8>, day: Option<u8>| Self { year, month, day, third: None };
        Ok(match *numbers {
            [all] if all.digits == 8 => {
                let (year, month, day) = (all.value / 10_000, all.value / 100 % 100, all.value % 100);
                dated(Some(year as u16), Some(month as u8), Some(day as u8))
            }
            [day] => dated(None, None, Some(day.small()?)),
            [year, month] if year.is_year => dated(Some(year.year()?), Some(month.small()?), None),
            [month, year] if year.is_year => dated(Some(year.year()?), Some(month.small()?), None),
            [a, b] => {
                let (day, month) = in_order(a, b, order)?;
                dated(None, Some(month), Some(day))
            }
            [year, month, day] if year.is_year => {
                dated(Some(year.year()?), Some(month.small()?), Some(day.small()?))
            }
            [a, b, year] => {
                let (day, month) = in_order(a, b, order)?;
                dated(Some(year.year()?), Some(month), Some(day))
            }
            _ => return Err(Fault::NotADate),
        })
    }

    /// Refuses what does not exist in any year, or in the year that is given.
    fn checked(self) -> Result<Self, Fault> {
        if let Some(year) = self.year.filter(|year| !(1900..=2199).contains(year)) {
            return Err(Fault::NoYear(year));
        }
        if let Some(month) = self.month.filter(|month| !(1..=12).contains(month)) {
            return Err(Fault::NoMonth(month));
        }
        // 2000 had a 29 February; a day alone is taken by the longest month.
        let (year, month) = (self.year.unwrap_or(2000), self.month.unwrap_or(1));
        match self.day {
            Some(day) if Date::new(year, month, day).is_none() => {
                let of = self.month.map_or_else(String::new, |month| format!(" {}", month_name(month)));
                let year = self.year.map_or_else(String::new, |year| format!(" {year}"));
                Err(Fault::NoDay(format!("{day}{of}{year}")))
            }
            _ => Ok(self),
        }
    }

    /// First and last day.
    pub(super) fn span(self) -> Result<(Date, Date), Fault> {
        let part = self.checked()?;
        let month = part.month.ok_or(Fault::NotADate)?;
        let year = part.year.ok_or_else(|| Fault::NeedsYear(part.words()))?;
        let day = |day| Date::new(year, month, day).ok_or(Fault::NotADate);
        let end = month_end(year, month).ok_or(Fault::NotADate)?;
        Ok(match (part.day, part.third) {
            (Some(d), _) => (day(d)?, day(d)?),
            (None, None) => (day(1)?, end),
            (None, Some(Third::Early)) => (day(1)?, day(10)?),
            (None, Some(Third::Mid)) => (day(11)?, day(20)?),
            (None, Some(Third::Late)) => (day(21)?, end),
        })
    }

    /// The date without its year, in words.
    pub(super) fn words(self) -> String {
        let third = match self.third {
            None => "",
            Some(Third::Early) => "early ",
            Some(Third::Mid) => "mid ",
            Some(Third::Late) => "late ",
        };
        let day = self.day.map_or_else(String::new, |day| format!("{day} "));
        format!("{third}{day}{}", self.month.map_or("", month_name)).trim_end().to_owned()
    }
}

impl Pieces {
    fn of(text: &str) -> Result<Self, Fault> {
        let mut pieces = Self::default();
        let mut rest = text;
        let mut is_after_apostrophe = false;
        while let Some(c) = rest.chars().next() {
            let length = match c {
                '0'..='9' => {
                    let digits = run(rest, |c| c.is_ascii_digit());
                    pieces.numbers.push(Number::new(&rest[..digits], is_after_apostrophe)?);
                    digits + ordinal(&rest[digits..])
                }
                'a'..='z' => {
                    let letters = run(rest, |c| c.is_ascii_lowercase());
                    pieces.word(&rest[..letters])?;
                    letters
                }
                ' ' | ',' | '.' | '/' | '-' | '\'' => 1,
                _ => return Err(Fault::NotADate),
            };
            is_after_apostrophe = c == '\'';
            rest = &rest[length..];
        }
        Ok(pieces)
    }

    fn word(&mut self, word: &str) -> Result<(), Fault> {
        let third = match word {
            "of" | "the" => return Ok(()),
            "early" => Some(Third::Early),
            "mid" | "middle" => Some(Third::Mid),
            "late" => Some(Third::Late),
            _ => None,
        };
        let is_first_of_its_kind = if let Some(third) = third {
            self.numbers.is_empty() && self.third.replace(third).is_none()
        } else {
            self.month.replace(month_of_word(word).ok_or(Fault::NotADate)?).is_none()
        };
        if is_first_of_its_kind { Ok(()) } else { Err(Fault::NotADate) }
    }
}

impl Number {
    fn new(digits: &str, is_after_apostrophe: bool) -> Result<Self, Fault> {
        let value = digits.parse().map_err(|_| Fault::NotADate)?;
        let is_short_year = is_after_apostrophe && digits.len() == 2;
        Ok(Self { value, digits: digits.len(), is_year: digits.len() == 4 || is_short_year })
    }

    /// A day or month.
    fn small(self) -> Result<u8, Fault> {
        if self.is_year || self.digits > 2 { Err(Fault::NotADate) } else { Ok(self.value as u8) }
    }

    fn year(self) -> Result<u16, Fault> {
        match self.digits {
            4 => Ok(self.value as u16),
            2 => Ok(2000 + self.value as u16),
            _ => Err(Fault::NotADate),
        }
    }
}

fn in_order(a: Number, b: Number, order: DayOrder) -> Result<(u8, u8), Fault> {
    let (a, b) = (a.small()?, b.small()?);
    Ok(if order == DayOrder::DayFirst { (a, b) } else { (b, a) })
}

fn run(text: &str, belongs: impl Fn(char) -> bool) -> usize {
    text.find(|c| !belongs(c)).unwrap_or(text.len())
}

/// Length of the ending of 1st, 2nd, 3rd, 5th.
fn ordinal(rest: &str) -> usize {
    let letters = run(rest, |c| c.is_ascii_lowercase());
    if matches!(&rest[..letters], "st" | "nd" | "rd" | "th") { letters } else { 0 }
}
