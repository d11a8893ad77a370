//! Characters that no label of somebody else's may bring onto a screen.

use std::borrow::Cow;

/// Whether a character steers a screen or turns the direction of reading; ends of lines and tabs are space.
fn steers(c: char) -> bool {
    (c.is_control() && !matches!(c, '\n' | '\t'))
        || matches!(c, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// `text` with such characters replaced by the sign for a character that cannot be shown.
pub(crate) fn clean(text: &str) -> Cow<'_, str> {
    if text.contains(steers) { Cow::Owned(text.replace(steers, "\u{fffd}")) } else { Cow::Borrowed(text) }
}

#[cfg(test)]
mod tests {
    use super::clean;

    #[test]
    fn what_steers_is_replaced_and_the_rest_stays() {
        assert_eq!(clean("a\u{1b}[31m\u{202e}b\r"), "a\u{fffd}[31m\u{fffd}b\u{fffd}");
        assert_eq!(clean("ma\u{301}k\n\t\u{6f22}"), "ma\u{301}k\n\t\u{6f22}");
    }
}
