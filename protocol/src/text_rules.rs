//! The grammars of the few open strings.

use unicode_normalization::is_nfc;

use crate::limits::{EPITHET_BYTES, NAME_BYTES};

/// `[a-z][a-z-]{1,39}`
pub(crate) fn is_epithet(text: &str) -> bool {
    let (least, most) = EPITHET_BYTES;
    (least..=most).contains(&text.len())
        && text.starts_with(|c: char| c.is_ascii_lowercase())
        && text.bytes().all(|b| b.is_ascii_lowercase() || b == b'-')
}

/// 1 to 40 bytes of UTF-8 in NFC without control, bidirectional or invisible characters.
pub(crate) fn is_name(text: &str) -> bool {
    (1..=NAME_BYTES).contains(&text.len()) && is_nfc(text) && !text.chars().any(is_hidden)
}

/// Characters that steer or hide text instead of showing.
fn is_hidden(c: char) -> bool {
    c.is_control()
        || matches!(c,
            '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{115f}' | '\u{1160}' | '\u{180e}' | '\u{200b}'..='\u{200f}'
            | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{3164}' | '\u{feff}' | '\u{ffa0}'
            | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e0fff}')
}

/// `10[.][0-9]{4,9}/[-._;()/:a-z0-9]{1,80}`
pub(crate) fn is_doi(text: &str) -> bool {
    let Some((registrant, suffix)) = text.strip_prefix("10.").and_then(|rest| rest.split_once('/')) else {
        return false;
    };
    let is_suffix_byte = |b: u8| b.is_ascii_lowercase() || b.is_ascii_digit() || b"-._;()/:".contains(&b);
    (4..=9).contains(&registrant.len())
        && registrant.bytes().all(|b| b.is_ascii_digit())
        && (1..=80).contains(&suffix.len())
        && suffix.bytes().all(is_suffix_byte)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn epithets_are_lower_case_ascii() {
        assert!(is_epithet("nigrum") && is_epithet("uva-crispa") && is_epithet("io"));
        for wrong in ["", "a", "Ribes", "nigrüm", "-a", "a b", &"a".repeat(41)] {
            assert!(!is_epithet(wrong), "{wrong}");
        }
    }

    #[test]
    fn names_may_be_in_any_script_but_hide_nothing() {
        assert!(is_name("Brasswing") && is_name("Zlatá") && is_name("白花"));
        for wrong in ["", "a\u{200b}b", "a\u{202e}b", "a\nb", "e\u{301}", &"é".repeat(21)] {
            assert!(!is_name(wrong), "{wrong:?}");
        }
    }

    #[test]
    fn dois_are_lower_case() {
        // The example of the DOI Handbook §2.2 (from memory), in lower case.
        assert!(is_doi("10.1000/182") && is_doi("10.21273/hortsci.31.2.222"));
        for wrong in ["10.1/a", "10.1000/", "11.1000/182", "10.1000/A", "10.1000", "10.100x/1"] {
            assert!(!is_doi(wrong), "{wrong}");
        }
    }
}
