//! Whether a text says what a case says: its numbers, pots and codes, in that order; the words are the program's.

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
