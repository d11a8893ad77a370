//! Words and numbers of typed counts. A word may stand in double quotes, so that it can hold what would part it; a double
//! quote within is doubled.

use std::borrow::Cow;

use propagule_files::fault::Fault;

/// The most pieces of one count.
pub(super) const MOST: u16 = 10_000;

/// Splits at commas that stand in no quotes, trims, and passes over what is empty.
pub(super) fn parts(text: &str) -> Vec<&str> {
    let (mut parts, mut from) = (Vec::new(), 0);
    let (mut is_quoted, mut before) = (false, ' ');
    for (at, c) in text.char_indices() {
        match c {
            '"' if is_quoted || before == '=' => is_quoted = !is_quoted,
            // A quote that is doubled goes on.
            '"' if before == '"' => is_quoted = true,
            ',' if !is_quoted => {
                parts.push(&text[from..at]);
                from = at + 1;
            }
            _ => {}
        }
        before = if c.is_whitespace() { before } else { c };
    }
    parts.push(&text[from..]);
    parts.into_iter().map(str::trim).filter(|part| !part.is_empty()).collect()
}

/// `key=value`, both trimmed, the key in lower case with underscores for spaces and hyphens.
pub(super) fn pair(text: &str) -> Result<(String, &str), Fault> {
    let (key, value) =
        text.split_once('=').ok_or_else(|| Fault::user("count-without-equals").with("text", text))?;
    Ok((key.trim().to_lowercase().replace([' ', '-'], "_"), value.trim()))
}

/// A word without its quotes.
pub(super) fn word(value: &str) -> Result<Cow<'_, str>, Fault> {
    let Some(rest) = value.strip_prefix('"') else { return Ok(Cow::Borrowed(value)) };
    let within = rest.strip_suffix('"').map(|within| within.replace("\"\"", "\0"));
    let closed = within.filter(|within| !within.contains('"'));
    let closed = closed.ok_or_else(|| Fault::user("count-quote-open").with("text", value))?;
    Ok(Cow::Owned(closed.replace('\0', "\"")))
}

/// A word as it is typed in a count: in quotes where it holds what would part it.
pub fn quoted(word: &str) -> Cow<'_, str> {
    if word.contains([',', '"']) || word.trim() != word {
        return Cow::Owned(format!("\"{}\"", word.replace('"', "\"\"")));
    }
    Cow::Borrowed(word)
}

/// A whole number of pieces.
pub(super) fn number(text: &str) -> Result<u16, Fault> {
    let number = text.trim().parse().ok().filter(|count| *count <= MOST);
    number.ok_or_else(|| Fault::user("count-not-a-number").with("text", text))
}

/// `3/5/2`.
pub(super) fn numbers(text: &str) -> Result<Vec<u16>, Fault> {
    text.split('/').map(number).collect()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn a_comma_in_quotes_parts_nothing() {
        assert_eq!(
            parts("dead=1, cause=\"vole, 2=mice\",,lost=2"),
            ["dead=1", "cause=\"vole, 2=mice\"", "lost=2"]
        );
        let word = |text| word(text).expect("it ends").into_owned();
        assert_eq!(word("\"vole, 2=mice\""), "vole, 2=mice");
        assert_eq!(word("basal rot"), "basal rot");
        assert_eq!(parts("cause=\"5\"\" pots, all\",dead=1"), ["cause=\"5\"\" pots, all\"", "dead=1"]);
        assert_eq!(word("\"5\"\" pots, all\""), "5\" pots, all");
        assert_eq!(super::word("\"rot").expect_err("it has no end").code, "count-quote-open");
        assert_eq!(super::word("\"rot\" all\"").expect_err("it ends too early").code, "count-quote-open");
    }

    proptest! {
        /// Whatever a word holds, it comes back as it was, and what follows it stands apart.
        #[test]
        fn any_word_can_be_typed(text in "[a-z,=\":; '\\\\]{1,12}") {
            let typed = format!("cause={},dead=1", quoted(&text));
            let parts = parts(&typed);
            prop_assert_eq!(parts.len(), 2, "{}", typed);
            let (key, value) = pair(parts[0]).expect("a pair");
            prop_assert_eq!(key, "cause");
            prop_assert_eq!(word(value).expect("it ends"), text);
        }
    }
}
