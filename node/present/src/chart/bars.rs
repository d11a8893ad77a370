//! Words, a number and a bar of characters in each row.

use crate::lines::{Lines, columns, label, pad_left, pad_right};

/// The shortest bar that is still drawn beside its words.
const SHORTEST: usize = 10;
/// Columns between words, number and bar.
const GAP: &str = "  ";

/// Writes a row for each words and number, with the bar that `bar` draws of a row in so much room. Words that leave no
/// room for a bar stand above it.
pub(super) fn write(lines: &mut Lines, rows: &[(String, String)], bar: impl Fn(usize, usize) -> String) {
    let labels: Vec<String> = rows.iter().map(|(words, _)| label(words)).collect();
    let longest = labels.iter().map(|words| columns(words)).max().unwrap_or(0);
    let widest = rows.iter().map(|(_, number)| columns(number)).max().unwrap_or(0);
    let is_beside = longest + widest + 2 * GAP.len() + SHORTEST <= lines.room();
    let before = if is_beside { longest + GAP.len() } else { GAP.len() };
    let room = lines.room().saturating_sub(before + widest + GAP.len()).max(1);
    for (place, (words, (_, number))) in labels.iter().zip(rows).enumerate() {
        let drawn = format!("{}{GAP}{}", pad_left(number, widest), bar(place, room));
        if is_beside {
            lines.push(&format!("{}{GAP}{drawn}", pad_right(words, longest)));
        } else {
            lines.wrap_text(words);
            lines.set_in(GAP.len(), |lines| lines.push(&drawn));
        }
    }
}
