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

/// Whether nothing but an author citation explains these words, all of which can belong to one: a capitalised
/// word that stands by itself may as well be a cultivar without its quotes.
pub(super) fn are_surely_authors(words: &[String]) -> bool {
    (0..words.len()).all(|at| is_surely_author(words, at))
}

fn is_surely_author(words: &[String], at: usize) -> bool {
    let word = words[at].as_str();
    let before = at.checked_sub(1).map(|at| words[at].as_str());
    let after = words.get(at + 1).map(String::as_str);
    let is_between = |word: Option<&str>| word.is_some_and(|word| BETWEEN.contains(&word));
    if word.bytes().all(|b| b.is_ascii_digit()) {
        return before.is_some() && is_surely_author(words, at - 1);
    }
    BETWEEN.contains(&word)
        || word.contains(['.', '(', ')', '[', ']'])
        || is_between(before)
        || is_between(after)
        || before.is_some_and(is_initial)
        || after.is_some_and(|word| word.len() == 4 && word.bytes().all(|b| b.is_ascii_digit()))
}

/// `K.` before Koch, `A.P.` before another name.
fn is_initial(word: &str) -> bool {
    word.ends_with('.') && word.split('.').all(|part| part.chars().count() <= 1)
}
