//! Lines of a given width, counted in columns of the terminal.

use unicode_width::UnicodeWidthStr;

/// Columns that `text` takes.
pub(super) fn columns(text: &str) -> usize {
    UnicodeWidthStr::width(text)
}

/// Appends `text` in lines of at most `width`, each after `indent`; a word longer than a line is left whole.
pub(super) fn wrap(out: &mut String, text: &str, width: usize, indent: &str) {
    let room = width.saturating_sub(columns(indent)).max(1);
    let mut line = String::new();
    for word in words(text) {
        if !line.is_empty() && columns(&line) + 1 + columns(&word) > room {
            push_line(out, indent, &line);
            line.clear();
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(&word);
    }
    push_line(out, indent, &line);
}

/// Words between which a line may break: never before the sign of a per cent.
fn words(text: &str) -> impl Iterator<Item = String> {
    let mut words = text.split_whitespace().peekable();
    std::iter::from_fn(move || {
        let mut word = words.next()?.to_owned();
        while let Some(sign) = words.next_if(|next| next.starts_with('%')) {
            word = format!("{word} {sign}");
        }
        Some(word)
    })
}

/// Appends one line without spaces at its end.
pub(super) fn push_line(out: &mut String, indent: &str, line: &str) {
    out.push_str(format!("{indent}{line}").trim_end());
    out.push('\n');
}

/// `text` with spaces up to `width`.
pub(super) fn pad_right(text: &str, width: usize) -> String {
    format!("{text}{}", " ".repeat(width.saturating_sub(columns(text))))
}

/// `text` after spaces up to `width`.
pub(super) fn pad_left(text: &str, width: usize) -> String {
    format!("{}{text}", " ".repeat(width.saturating_sub(columns(text))))
}
