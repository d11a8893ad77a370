//! Recognises the words of author citations, which are dropped.

/// Small words that stand between authors (ICN Art. 46; particles from memory).
const BETWEEN: [&str; 22] = [
    "ex", "et", "and", "&", "in", "f.", "fil.", "de", "da", "di", "du", "van", "von", "den", "der", "la",
    "le", "non", "nec", "emend.", "al.", "hort.",
];

/// Whether a word after the last epithet can belong to an author citation: capitalised, bracketed,
/// abbreviated with a stop, a year, or one of the words between authors.
pub(super) fn is_author_word(word: &str) -> bool {
    let bare = word.trim_matches(|c| matches!(c, '(' | ')' | '[' | ']' | ',' | ';' | ':'));
    let is_year = bare.len() == 4 && bare.bytes().all(|b| b.is_ascii_digit());
    bare.is_empty()
        || is_year
        || BETWEEN.contains(&bare)
        || bare.starts_with(char::is_uppercase)
        || bare.starts_with("d'") && bare[2..].starts_with(char::is_uppercase)
        || word.starts_with(['(', '['])
        || bare.ends_with('.') && bare.len() > 2
}
