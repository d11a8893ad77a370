//! Looks words up in a code list, with suggestions for misspelt ones.

use super::codes::Entry;
use crate::code::Code;

const FIRST_LISTED: u8 = 2;

/// The word of a code: `unknown`, `other`, the listed word, or `code 17`.
pub(super) fn word(list: &[Entry], code: Code) -> String {
    match code {
        Code::UNKNOWN => "unknown".to_owned(),
        Code::OTHER => "other".to_owned(),
        Code(n) => match list.get(usize::from(n - FIRST_LISTED)) {
            Some((word, _)) => (*word).to_owned(),
            None => code.to_string(),
        },
    }
}

/// The code of a word in any of its spellings.
pub(super) fn code(list: &[Entry], text: &str) -> Option<Code> {
    let wanted = folded(text);
    match wanted.as_str() {
        "unknown" | "not known" => return Some(Code::UNKNOWN),
        "other" => return Some(Code::OTHER),
        _ => {}
    }
    if let Some(number) = wanted.strip_prefix("code ") {
        return number.parse().ok().map(Code);
    }
    let is_it = |(word, others): &Entry| folded(word) == wanted || others.iter().any(|o| folded(o) == wanted);
    list.iter().position(is_it).map(|at| Code(at as u8 + FIRST_LISTED))
}

/// At most three words that were perhaps meant, closest first.
pub(super) fn suggestions(list: &[Entry], text: &str) -> Vec<String> {
    let wanted = folded(text);
    let closeness = |(word, others): &Entry| {
        let spellings = std::iter::once(word).chain(others.iter());
        spellings.map(|s| likeness(&folded(s), &wanted)).fold(0.0, f64::max)
    };
    let mut ranked: Vec<(f64, &str)> = list.iter().map(|e| (closeness(e), e.0)).collect();
    ranked.sort_by(|a, b| b.0.total_cmp(&a.0));
    let best = ranked.first().map_or(0.0, |(closeness, _)| *closeness);
    ranked.retain(|(closeness, _)| *closeness >= 0.5 && *closeness >= best - 0.2);
    ranked.into_iter().take(3).map(|(_, word)| word.to_owned()).collect()
}

fn likeness(spelling: &str, wanted: &str) -> f64 {
    let contained =
        wanted.len() >= 4 && (spelling.contains(wanted) || wanted.contains(spelling) && spelling.len() >= 4);
    if contained { 0.95 } else { strsim::normalized_damerau_levenshtein(spelling, wanted) }
}

/// Lower case, single spaces, hyphens as spaces, words in the singular and in one of their two spellings.
pub(super) fn folded(text: &str) -> String {
    let spaced = text.to_lowercase().replace(['-', '_', '\u{2013}'], " ").replace('\u{2019}', "'");
    spaced.split_whitespace().map(folded_word).collect::<Vec<_>>().join(" ")
}

fn folded_word(word: &str) -> String {
    let one = match word.strip_suffix('s') {
        Some(one) if one.len() > 2 && !one.ends_with(['s', 'i', 'u', '\'']) => one,
        _ => word,
    };
    one.replace("fibre", "fiber").replace("mould", "mold").replace("litre", "liter").replace("grey", "gray")
}
