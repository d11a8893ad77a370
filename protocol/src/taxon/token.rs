//! Splits a name into words, and takes cultivar and group out of it.

use unicode_normalization::UnicodeNormalization;

use super::TaxonFault;
use crate::text_rules::is_name;

/// A name cut into its cultivated and its botanical part.
#[derive(Clone)]
pub(super) struct Cut {
    pub(super) words: Vec<String>,
    pub(super) group: Option<String>,
    pub(super) cultivar: Option<String>,
}

pub(super) fn cut(text: &str) -> Result<Cut, TaxonFault> {
    let plain = straightened(text);
    let (rest, cultivar) = take_cultivar(&plain)?;
    let (rest, group) = take_group(&rest)?;
    let words = rest.split_whitespace().map(str::to_owned).collect();
    Ok(Cut { words, group, cultivar })
}

/// NFC, straight quotes, single spaces, `_x_` as a hybrid sign.
fn straightened(text: &str) -> String {
    let straight = |c: char| match c {
        '\u{2018}' | '\u{2019}' | '\u{201c}' | '\u{201d}' | '"' | '`' | '\u{b4}' => '\'',
        other => other,
    };
    let text: String = text.nfc().map(straight).collect();
    text.replace("_x_", " × ").split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A quoted name, or what follows `cv.`; quotes inside a name stay.
fn take_cultivar(text: &str) -> Result<(String, Option<String>), TaxonFault> {
    let is_opening = |(at, _): &(usize, &str)| *at == 0 || text[..*at].ends_with([' ', '(']);
    if let Some((open, _)) = text.match_indices('\'').find(is_opening) {
        let close = text.rfind('\'').filter(|close| *close > open + 1).ok_or(TaxonFault::OpenQuote)?;
        let rest = format!("{} {}", &text[..open], &text[close + 1..]);
        return Ok((without_cv(&rest), Some(name(&text[open + 1..close])?)));
    }
    match text.split_once(" cv. ") {
        Some((rest, cultivar)) => Ok((rest.to_owned(), Some(name(cultivar)?))),
        None => Ok((text.to_owned(), None)),
    }
}

fn without_cv(text: &str) -> String {
    text.split_whitespace().filter(|word| *word != "cv.").collect::<Vec<_>>().join(" ")
}

/// Whether a word says that what stands before it is a group.
pub(super) fn is_group_word(word: &str) -> bool {
    matches!(word.trim_end_matches(')'), "Group" | "Gp" | "Gp.")
}

/// `(Some Name Group)` or `Some Name Group`; the words of a bare group are capitalised.
fn take_group(text: &str) -> Result<(String, Option<String>), TaxonFault> {
    let words: Vec<&str> = text.split_whitespace().collect();
    // The first word is the genus, whatever it is.
    let Some(end) = (1..words.len()).find(|at| is_group_word(words[*at])) else {
        return Ok((text.to_owned(), None));
    };
    let start = if words[end].ends_with(')') {
        words[..end].iter().rposition(|word| word.starts_with('('))
    } else {
        let bare = |word: &&str| !word.starts_with(|c: char| c.is_uppercase());
        Some(words[..end].iter().rposition(bare).map_or(1, |at| at + 1))
    };
    let start =
        start.filter(|start| *start < end).ok_or_else(|| TaxonFault::Unexpected(words[end].to_owned()))?;
    let group = name(words[start..end].join(" ").trim_start_matches('('))?;
    // A name with the word for a group in it would end there when it is read again.
    if group.contains(['(', ')', '\'']) || group.split(' ').any(is_group_word) {
        return Err(TaxonFault::Name(group));
    }
    let rest = [&words[..start], &words[end + 1..]].concat().join(" ");
    Ok((rest, Some(group)))
}

fn name(text: &str) -> Result<String, TaxonFault> {
    let text = text.trim_matches(|c: char| c == '\'' || c.is_whitespace());
    if is_name(text) { Ok(text.to_owned()) } else { Err(TaxonFault::Name(text.to_owned())) }
}
