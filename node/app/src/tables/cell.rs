//! A cell in which a count is due: a number, a share, or a word.

use std::collections::BTreeMap;

use super::ask::CellMeans;
use super::share;
use propagule_files::fault::Fault;

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
    /// It is refused.
    Refused(Fault),
}

/// Meanings that a word can be given.
pub(super) const MEANINGS: [&str; 6] = ["dead", "lost", "alive", "none", "not-known", "not-counted"];

/// The meaning of a word.
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

/// What a word means; none for a number.
pub(super) fn meant(text: &str, value: Value) -> Option<CellMeans> {
    if text.starts_with(|c: char| c.is_ascii_digit()) {
        return None;
    }
    Some(match value {
        Value::Count(0) => CellMeans::Zero,
        Value::Count(_) | Value::Yes | Value::No => return None,
        Value::AllDead => CellMeans::AllDied,
        Value::AllLost => CellMeans::AllLost,
        Value::AllAlive => CellMeans::AllAlive,
        Value::NotKnown => CellMeans::NotKnown,
        Value::NotCounted => CellMeans::NotCounted,
    })
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
            .map_err(Wrong::Refused);
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
    let refused = |fault: Fault| Err(Wrong::Refused(fault));
    if let Ok(count) = text.parse::<u32>() {
        return match u16::try_from(count) {
            Ok(count) => Ok(count),
            Err(_) => refused(Fault::user("table-count-too-large").with("cell", text)),
        };
    }
    let digits = text.strip_prefix(['-', '\u{2212}']).unwrap_or_default();
    if !digits.is_empty() && digits.bytes().all(|byte| byte.is_ascii_digit()) {
        return refused(Fault::user("table-count-negative").with("cell", text));
    }
    if text.starts_with(|c: char| c.is_ascii_digit() || c == '-' || c == '+') {
        return refused(not_whole(text));
    }
    Err(Wrong::Word)
}

/// That a cell which can hold nothing else holds no whole number.
pub(super) fn no_number(text: &str, wrong: Wrong) -> Fault {
    match wrong {
        Wrong::Refused(fault) => fault,
        Wrong::Word => not_whole(text),
    }
}

fn not_whole(text: &str) -> Fault {
    Fault::user("table-count-not-whole").with("cell", text)
}

/// Without case, spaces and hyphens between letters.
pub(super) fn fold(text: &str) -> String {
    let lower = text.trim().to_lowercase();
    if lower.chars().count() < 2 {
        return lower;
    }
    lower.chars().filter(|c| !matches!(c, ' ' | '-' | '_' | '\u{a0}')).collect()
}
