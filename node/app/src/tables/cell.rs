//! A cell in which a count is due: a number, a share, or a word.

use std::collections::BTreeMap;

use super::share;

/// What a cell with a count says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Value {
    /// So many.
    Count(u16),
    /// All that were left died.
    AllDead,
    /// All that were left are unscored.
    AllLost,
    /// All that were left live.
    AllAlive,
    /// Looked, and not known.
    NotKnown,
    /// Nobody counted.
    NotCounted,
    /// Of one piece: it did.
    Yes,
    /// Of one piece: it did not.
    No,
}

/// How a cell is read.
#[derive(Clone, Copy, Debug)]
pub(super) struct Reading<'a> {
    pub(super) started: Option<u16>,
    pub(super) is_per_cent: bool,
    /// Shares of the column are written as fractions of one.
    pub(super) is_fraction: bool,
    pub(super) one_piece: bool,
    pub(super) words: &'a BTreeMap<String, String>,
}

/// Why a cell cannot be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Wrong {
    /// A word that is asked about.
    Word,
    /// Refused: why, and what to do.
    Refused(String, &'static str),
}

/// Meanings that a word can be given.
pub(super) const MEANINGS: [&str; 6] = ["dead", "lost", "alive", "none", "not-known", "not-counted"];
const SHARE: &str =
    "a share must be a whole number of the pieces put in: look for a slip in either, or write the count";

/// The meaning of a word, and how it is stated.
fn meaning(word: &str) -> Option<Value> {
    Some(match fold(word).as_str() {
        "alldead" | "dead" | "alldied" | "died" => Value::AllDead,
        "none" | "nil" | "zero" => Value::Count(0),
        "?" | "notknown" | "unknown" => Value::NotKnown,
        "-" | "–" | "—" | "notcounted" | "n/a" | "na" => Value::NotCounted,
        _ => return None,
    })
}

/// A meaning that the grower gave to a word.
pub(super) fn given(meaning_of: &str) -> Option<Value> {
    match fold(meaning_of).as_str() {
        "lost" | "alllost" => Some(Value::AllLost),
        "alive" | "allalive" => Some(Value::AllAlive),
        number if number.parse::<u16>().is_ok() => number.parse().ok().map(Value::Count),
        _ => meaning(meaning_of),
    }
}

/// How a word was read, in words; none for a number.
pub(super) fn said(text: &str, value: Value) -> Option<String> {
    if text.starts_with(|c: char| c.is_ascii_digit()) {
        return None;
    }
    let read = match value {
        Value::Count(0) => "zero",
        Value::Count(_) | Value::Yes | Value::No => return None,
        Value::AllDead => "every piece that was left died",
        Value::AllLost => "every piece that was left is lost",
        Value::AllAlive => "every piece that was left is alive",
        Value::NotKnown => "looked, not known",
        Value::NotCounted => "not counted",
    };
    Some(format!("'{text}': {read}"))
}

/// Reads a cell.
///
/// # Errors
/// A word to ask about, or why it is refused.
pub(super) fn read(text: &str, reading: Reading<'_>) -> Result<Value, Wrong> {
    let own = reading.words.iter().find(|(word, _)| fold(word) == fold(text));
    if let Some(value) = own.and_then(|(_, meaning)| given(meaning)) {
        return Ok(value);
    }
    if reading.one_piece {
        match fold(text).as_str() {
            "y" | "yes" | "true" | "x" | "✓" | "1" => return Ok(Value::Yes),
            "n" | "no" | "false" | "0" => return Ok(Value::No),
            _ => {}
        }
    }
    if let Some(value) = meaning(text) {
        return Ok(value);
    }
    if let Some(share) = share_in(text, reading) {
        let Some(started) = reading.started else { return Ok(Value::NotCounted) };
        return share::whole(&share, u32::from(started))
            .map(|count| Value::Count(count as u16))
            .map_err(|why| Wrong::Refused(why, SHARE));
    }
    number(text).map(Value::Count)
}

/// The share that a cell holds, without its sign.
fn share_in(text: &str, reading: Reading<'_>) -> Option<String> {
    if let Some(share) = text.strip_suffix('%') {
        return Some(share.trim().to_owned());
    }
    let is_number = text.replace(',', ".").parse::<f64>().is_ok();
    if reading.is_per_cent && is_number && !reading.is_fraction {
        return Some(text.to_owned());
    }
    if reading.is_per_cent && is_number && text == "1" {
        return Some("100".to_owned());
    }
    share::of_fraction(text).filter(|_| reading.started.is_some())
}

/// A whole number, 0 or more.
///
/// # Errors
/// As [`read`].
pub(super) fn number(text: &str) -> Result<u16, Wrong> {
    let refused = |why: String, hint| Err(Wrong::Refused(why, hint));
    if let Ok(count) = text.parse::<u32>() {
        return match u16::try_from(count) {
            Ok(count) => Ok(count),
            Err(_) => refused(format!("{count} is too many"), "look for two numbers in one cell"),
        };
    }
    let digits = text.strip_prefix(['-', '\u{2212}']).unwrap_or_default();
    if !digits.is_empty() && digits.bytes().all(|byte| byte.is_ascii_digit()) {
        return refused(format!("{text} is negative"), "counts are 0 or more");
    }
    if text.starts_with(|c: char| c.is_ascii_digit() || c == '-' || c == '+') {
        return refused(format!("\"{text}\" is not a whole number"), "write digits only");
    }
    Err(Wrong::Word)
}

/// Without case, spaces and hyphens between letters.
pub(super) fn fold(text: &str) -> String {
    let lower = text.trim().to_lowercase();
    if lower.chars().count() < 2 {
        return lower;
    }
    lower.chars().filter(|c| !matches!(c, ' ' | '-' | '_' | '\u{a0}')).collect()
}
