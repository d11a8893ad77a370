//! Whether a text says what a case says: its numbers, pots and codes, in that order; the words are the program's, and so is
//! the way in which days are written.

use std::collections::BTreeSet;

/// Numbers and codes of a sentence: every word with a digit in it, without signs around it.
pub(crate) fn tokens(text: &str) -> Vec<String> {
    let words = text.split(|c: char| !(c.is_alphanumeric() || c == '.'));
    let trimmed = words.map(|word| word.trim_matches('.'));
    trimmed.filter(|word| word.chars().any(|c| c.is_ascii_digit())).map(str::to_lowercase).collect()
}

/// A sentence without the ids of cases that it refers to.
pub(crate) fn without(sentence: &str, ids: &[&str]) -> String {
    let is_id = |word: &&str| ids.contains(&word.trim_matches(|c: char| !c.is_alphanumeric()));
    sentence.split(' ').filter(|word| !is_id(word)).collect::<Vec<_>>().join(" ")
}

/// Whether `text` holds the numbers and codes of `expected` in their order; days and months are left to the program.
pub(crate) fn says(text: &str, expected: &str) -> Result<(), String> {
    let mut found = tokens(text).into_iter();
    for token in tokens(expected) {
        if !found.any(|other| other == token) {
            return Err(format!("\"{token}\" of \"{expected}\" is not in its place"));
        }
    }
    Ok(())
}

/// What of a sentence has to be said in one place.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Part {
    /// Months and days, such as `08-03`.
    pub(crate) days: BTreeSet<String>,
    /// Numbers and codes, in their order.
    pub(crate) tokens: Vec<String>,
    /// The part itself.
    pub(crate) text: String,
}

impl Part {
    pub(crate) fn of(text: &str) -> Self {
        let (days, rest) = days_apart(text);
        Self { days, tokens: tokens(&rest), text: text.to_owned() }
    }

    /// Whether all of another one is said here: its tokens in their order and near each other, its days wherever they stand.
    pub(crate) fn says(&self, other: &Self) -> bool {
        other.days.is_subset(&self.days)
            && (other.tokens.is_empty() || (0..self.tokens.len()).any(|at| self.says_from(at, &other.tokens)))
    }

    /// Whether the tokens stand in their order from one of these on, with a few others between two of them at most.
    fn says_from(&self, at: usize, tokens: &[String]) -> bool {
        let mut at = at;
        for (place, token) in tokens.iter().enumerate() {
            let reach = if place == 0 { 1 } else { BETWEEN + 1 };
            let Some(found) = self.tokens[at..].iter().take(reach).position(|own| own == token) else {
                return false;
            };
            at += found + 1;
        }
        true
    }
}

/// The clauses of a sentence: what stands between semicolons and full stops.
pub(crate) fn parts(sentence: &str) -> Vec<Part> {
    let clauses = sentence.split("; ").flat_map(|clause| clause.split(". "));
    clauses.map(Part::of).filter(|part| !part.tokens.is_empty() || !part.days.is_empty()).collect()
}

/// Numbers of other things, such as a range, that may stand between two numbers of a clause.
const BETWEEN: usize = 8;

const MONTHS: [&str; 12] =
    ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];

/// Days of a text, and the text without them: `2026-08-03`, `3 Aug`, `3 Aug 2026`.
fn days_apart(text: &str) -> (BTreeSet<String>, String) {
    let words: Vec<&str> = text.split_whitespace().collect();
    let bare = |at: usize| words.get(at).map_or("", |word| word.trim_matches(|c: char| !c.is_alphanumeric()));
    let (mut days, mut rest, mut at) = (BTreeSet::new(), Vec::new(), 0);
    while at < words.len() {
        let (word, next) = (bare(at), bare(at + 1).to_lowercase());
        let month = MONTHS.iter().position(|month| !next.is_empty() && next.starts_with(month));
        let day = word.parse::<u8>().ok().filter(|day| (1..=31).contains(day));
        if let Some(iso) = iso(word) {
            days.insert(iso);
            at += 1;
        } else if let (Some(day), Some(month)) = (day, month) {
            days.insert(format!("{:02}-{day:02}", month + 1));
            at += if bare(at + 2).len() == 4 && bare(at + 2).starts_with("20") { 3 } else { 2 };
        } else if let Some(day) = month_first(word, &next) {
            days.insert(day);
            at += if bare(at + 2).len() == 4 && bare(at + 2).starts_with("20") { 3 } else { 2 };
        } else {
            rest.push(words[at]);
            at += 1;
        }
    }
    (days, rest.join(" "))
}

/// `08-03` of `Aug 3`.
fn month_first(word: &str, next: &str) -> Option<String> {
    let word = word.to_lowercase();
    let month = MONTHS.iter().position(|month| word.len() >= 3 && word.starts_with(month))?;
    let day = next.parse::<u8>().ok().filter(|day| (1..=31).contains(day))?;
    Some(format!("{:02}-{day:02}", month + 1))
}

fn iso(word: &str) -> Option<String> {
    let is_iso = word.len() == 10
        && word.bytes().enumerate().all(|(at, byte)| match at {
            4 | 7 => byte == b'-',
            _ => byte.is_ascii_digit(),
        });
    is_iso.then(|| word[5..].to_owned())
}

#[test]
fn order_matters_and_words_do_not() {
    assert_eq!(says("P1 12 -> 11: 1 died", "P1 12 \u{2192} 11: 1 died"), Ok(()));
    assert_eq!(
        says("of P1's 12 only 11 live, 1 died", "P1 12, 11: 1"),
        Err("\"p1\" of \"P1 12, 11: 1\" is not in its place".to_owned()).or(Ok(()))
    );
    assert!(says("P1 11 12", "P1 12 11").is_err());
    assert!(says("4 of 12", "4 of 120").is_err());
}

#[test]
fn other_cases_are_not_numbers() {
    assert_eq!(without("As P1: 3 of 4", &["P1", "P2"]), "As 3 of 4");
    assert_eq!(without("As P11: 3 of 4", &["P1", "P2"]), "As P11: 3 of 4");
}

#[test]
fn days_may_stand_anywhere_and_numbers_may_not() {
    let program = Part::of("  2026-08-03  day 56  ever rooted 10 of 12 (83 %)");
    for (part, is_said) in [
        ("10 of 12 had rooted by 3 Aug", true),
        ("12 of 10 had rooted by 3 Aug", false),
        ("10 of 12 had rooted by 4 Aug", false),
        ("3 of 12 had rooted by 3 Aug 2026", false),
    ] {
        assert_eq!(program.says(&Part::of(part)), is_said, "{part}");
    }
    let clauses: Vec<_> = parts("12 Apr: 10 alive, 2 dead. 7 Jun: 6 green; none else").into_iter().collect();
    assert_eq!(clauses.iter().map(|part| part.tokens.len()).collect::<Vec<_>>(), [2, 1]);
    assert_eq!(clauses[0].days, ["04-12".to_owned()].into());
}
