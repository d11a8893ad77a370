//! Codes on labels, with a character that catches slips of the pen.

use std::collections::BTreeSet;

/// Why a code typed from a tag was not taken.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum CodeError {
    /// No letter or digit in it.
    #[error("no code was given")]
    Empty,
    /// No such code; `meant` holds at most three that were perhaps meant.
    #[error("no code `{typed}`{}", perhaps(.meant))]
    Unknown {
        /// As typed.
        typed: String,
        /// Likely ones, likeliest first.
        meant: Vec<String>,
    },
    /// The check character does not fit; `meant` holds at most three that were perhaps meant.
    #[error("the check character of `{typed}` does not fit{}", perhaps(.meant))]
    Check {
        /// As typed.
        typed: String,
        /// Likely ones, likeliest first.
        meant: Vec<String>,
    },
    /// More than one known code fits.
    #[error("`{typed}` can be {}; write it as it is printed", .meant.join(" or "))]
    Ambiguous {
        /// As typed.
        typed: String,
        /// At most three that fit.
        meant: Vec<String>,
    },
}

fn perhaps(meant: &[String]) -> String {
    if meant.is_empty() { String::new() } else { format!("; perhaps {}", meant.join(" or ")) }
}

/// The longest form that is copied by hand.
const HAND_COPY_LENGTH: usize = 12;

/// How many codes are offered where one was mistyped.
const OFFERED: usize = 3;

/// Letters and digits that a pen makes alike.
const ALIKE: [&str; 6] = ["O0QD", "I1L7", "B8", "S5", "Z2", "G6"];

/// The check character of ISO/IEC 7064, MOD 37,36 over A to Z and 0 to 9; case and all other characters are passed
/// over.
///
/// Together with the code it catches every single wrong character, and every swap of two neighbours but those of one
/// pair of neighbouring values out of 630.
pub fn check_character(text: &str) -> char {
    let product = values(text).fold(36, |product, value| {
        let sum = (product + value) % 36;
        (if sum == 0 { 36 } else { sum }) * 2 % 37
    });
    let check = (37 - product) % 36;
    char::from_digit(check, 36).expect("below 36").to_ascii_uppercase()
}

/// 0 to 9 for digits, 10 to 35 for letters.
fn values(text: &str) -> impl Iterator<Item = u32> {
    text.chars().filter_map(|c| c.to_digit(36))
}

/// A code with its check character: `M1-P3` becomes `M1-P3-I`.
pub fn with_check(code: &str) -> String {
    format!("{code}-{}", check_character(code))
}

/// The code with its check character in at most 12 characters, without hyphens where it would be longer.
///
/// `None` where it does not fit, or where it holds a letter that the check passes over.
pub fn hand_copy(code: &str) -> Option<String> {
    let is_plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | ' ');
    if !code.chars().all(is_plain) || folded(code).is_empty() {
        return None;
    }
    let check = check_character(code);
    let forms =
        [with_check(&tidied(code)), format!("{}-{check}", folded(code)), format!("{}{check}", folded(code))];
    forms.into_iter().find(|form| form.len() <= HAND_COPY_LENGTH)
}

/// The known code that was typed from a tag: with its check character or without, in any case, with spaces for
/// hyphens or neither.
///
/// A text that fits two known codes equally well is refused, never guessed.
///
/// # Errors
/// When no code, or more than one, fits, with what was perhaps meant.
pub fn read<'a>(text: &str, known: impl Iterator<Item = &'a str>) -> Result<String, CodeError> {
    let known: Vec<&str> = known.collect::<BTreeSet<_>>().into_iter().collect();
    let typed = text.trim().to_owned();
    if !typed.chars().any(char::is_alphanumeric) {
        return Err(CodeError::Empty);
    }
    for fits in [is_as_printed, is_with_check_apart, is_run_together] {
        let found: Vec<&str> = known.iter().copied().filter(|code| fits(&typed, code)).collect();
        match found[..] {
            [] => {}
            [code] => return Ok(code.to_owned()),
            _ => return Err(CodeError::Ambiguous { typed, meant: offered(found) }),
        }
    }
    let meant = perhaps_meant(&typed, &known);
    if is_failing_check(&typed, &known) {
        Err(CodeError::Check { typed, meant })
    } else {
        Err(CodeError::Unknown { typed, meant })
    }
}

fn is_as_printed(typed: &str, code: &str) -> bool {
    let (typed, code) = (tidied(typed), tidied(code));
    typed == code || typed == with_check(&code)
}

fn is_with_check_apart(typed: &str, code: &str) -> bool {
    let typed = tidied(typed);
    typed.rsplit_once('-').is_some_and(|(head, check)| {
        folded(head) == folded(code) && check == check_character(code).to_string()
    })
}

fn is_run_together(typed: &str, code: &str) -> bool {
    let (typed, code) = (folded(typed), folded(code));
    typed == code || typed == format!("{code}{}", check_character(&code))
}

/// Whether the last character is likely meant as a check, and does not fit the rest.
fn is_failing_check(typed: &str, known: &[&str]) -> bool {
    let folded_text = folded(typed);
    let Some((at, last)) = folded_text.char_indices().next_back() else { return false };
    let head = &folded_text[..at];
    let stands_apart = tidied(typed).rsplit_once('-').is_some_and(|(_, check)| check.chars().count() == 1);
    let is_meant_as_check = stands_apart || known.iter().any(|code| folded(code) == head);
    is_meant_as_check && check_character(head) != last
}

/// Known codes that are one slip away, those that a pen makes alike first.
fn perhaps_meant(typed: &str, known: &[&str]) -> Vec<String> {
    let typed = folded(typed);
    let slips = |code: &str| strsim::osa_distance(&typed, code);
    let mut near: Vec<(usize, bool, &str)> = known
        .iter()
        .map(|code| {
            let (bare, checked) = (folded(code), folded(&with_check(code)));
            let looks_alike = [&bare, &checked].into_iter().any(|form| by_shape(form) == by_shape(&typed));
            (slips(&bare).min(slips(&checked)), !looks_alike, *code)
        })
        .filter(|(slips, is_unlike, _)| *slips <= 1 || !is_unlike)
        .collect();
    near.sort_unstable_by_key(|&(slips, is_unlike, code)| (is_unlike, slips, code));
    offered(near.into_iter().map(|(.., code)| code).collect())
}

fn offered(codes: Vec<&str>) -> Vec<String> {
    codes.into_iter().take(OFFERED).map(str::to_owned).collect()
}

/// One letter for all that look alike.
fn by_shape(folded: &str) -> String {
    let shape =
        |c: char| ALIKE.iter().find(|alike| alike.contains(c)).map_or(c, |alike| alike.as_bytes()[0].into());
    folded.chars().map(shape).collect()
}

/// Upper case, with one hyphen for each gap.
fn tidied(text: &str) -> String {
    let is_gap = |c: char| c.is_whitespace() || matches!(c, '-' | '\u{2010}'..='\u{2015}' | '_');
    let upper = text.to_uppercase();
    upper.split(is_gap).filter(|part| !part.is_empty()).collect::<Vec<_>>().join("-")
}

/// Upper case letters and digits only.
fn folded(text: &str) -> String {
    text.to_uppercase().chars().filter(|c| c.is_alphanumeric()).collect()
}

#[cfg(test)]
#[path = "code_tests.rs"]
mod tests;
