//! The bench in characters.

use unicode_width::UnicodeWidthChar;

use super::{BenchMap, BenchPlace, FREE};
use crate::lines::{Lines, columns, label, pad_right};

/// Brackets by which neighbouring blocks are told apart without colour.
const BRACKETS: [(char, char); 4] = [('[', ']'), ('(', ')'), ('{', '}'), ('<', '>')];

/// Each label where it stands. A bench that is too wide is drawn in strips, left part first; labels that are too long lose
/// their end.
pub(super) fn write(map: &BenchMap, lines: &mut Lines) {
    if map.rows.is_empty() {
        return lines.push("Nothing to lay out.");
    }
    let strips = Strips::of(map, lines.room());
    for first in (0..map.columns()).step_by(strips.across) {
        strips.write(map, first, lines);
        lines.blank();
    }
    legend(map, lines);
}

/// How wide a place is drawn, and how many beside each other.
struct Strips {
    /// Columns before the first place, for the number of the row.
    margin: usize,
    /// Columns of a label.
    inner: usize,
    /// Places beside each other.
    across: usize,
}

impl Strips {
    fn of(map: &BenchMap, room: usize) -> Self {
        let margin = map.rows.len().to_string().len() + 1;
        let labels = map.places().filter_map(|place| place.label.as_deref());
        let widest = labels.map(|text| columns(&label(text))).max().unwrap_or(0);
        let least = map.columns().to_string().len();
        let inner = widest.max(least).min(room.saturating_sub(margin + 3)).max(1);
        let across = (room.saturating_sub(margin) / (inner + 3)).clamp(1, map.columns().max(1));
        Self { margin, inner, across }
    }

    /// The part of the bench that begins with the column `first`.
    fn write(&self, map: &BenchMap, first: usize, lines: &mut Lines) {
        let shown = first..(first + self.across).min(map.columns());
        let heads: Vec<String> = shown
            .clone()
            .map(|column| format!("  {}", pad_right(&(column + 1).to_string(), self.inner)))
            .collect();
        lines.push(&format!("{}{}", " ".repeat(self.margin), heads.join(" ")));
        for (row, places) in map.rows.iter().enumerate() {
            let drawn: String =
                shown.clone().filter_map(|at| places.get(at)).map(|place| self.place(place)).collect();
            lines.push(&format!("{:>1$} {drawn}", row + 1, self.margin - 1));
        }
    }

    fn place(&self, place: &BenchPlace) -> String {
        let (open, close) = if place.label.is_some() { brackets(place.block) } else { (' ', ' ') };
        let said = place.label.as_deref().map(|text| shortened(&label(text), self.inner));
        format!("{open}{}{close} ", pad_right(said.as_deref().unwrap_or(FREE), self.inner))
    }
}

fn brackets(block: Option<u8>) -> (char, char) {
    BRACKETS[block.map_or(0, |block| usize::from(block.saturating_sub(1)) % BRACKETS.len())]
}

fn shortened(label: &str, width: usize) -> String {
    if columns(label) <= width {
        return label.to_owned();
    }
    let mut short = String::new();
    for c in label.chars() {
        if columns(&short) + c.width().unwrap_or(0) + 1 > width {
            break;
        }
        short.push(c);
    }
    short + "…"
}

fn legend(map: &BenchMap, lines: &mut Lines) {
    lines.wrap_text("Row 1 is at the back, column 1 at the left.");
    let blocks = map.blocks();
    if blocks > 1 {
        let shown: Vec<String> =
            BRACKETS.iter().take(blocks).map(|(open, close)| format!("{open} {close}")).collect();
        let again = if blocks > BRACKETS.len() { ", then again" } else { "" };
        lines.wrap_text(&format!("Blocks in turn: {}{again}.", shown.join(", ")));
    }
    if map.places().any(|place| place.label.is_none()) {
        lines.wrap_text(&format!("{FREE} is free."));
    }
}

#[cfg(test)]
mod tests {
    use propagule_bench::layout::{LayoutRequest, ReplicateSpec, lay_out};

    use super::*;

    /// So many replicates of each arm.
    fn request(seed: u64, arms: &[usize], columns: usize, is_blocked: bool) -> LayoutRequest {
        let of_arm = |(at, size): (usize, &usize)| {
            let arm = at as u8 + 1;
            (1..=*size).map(move |pot| ReplicateSpec {
                code: format!("A{arm}-P{pot}"),
                arm,
                block: None,
                stock_plant: None,
            })
        };
        let replicates = arms.iter().enumerate().flat_map(of_arm).collect();
        LayoutRequest { seed, replicates, columns, is_blocked }
    }

    fn labels(request: &LayoutRequest) -> Vec<String> {
        request.replicates.iter().map(|replicate| replicate.code.clone()).collect()
    }

    fn drawn(request: &LayoutRequest, labels: &[String], width: usize) -> String {
        let mut lines = Lines::new(width);
        write(&BenchMap::of(&lay_out(request), labels), &mut lines);
        lines.into_text()
    }

    #[test]
    fn nothing_is_said_to_be_nothing() {
        assert_eq!(drawn(&request(1, &[], 4, true), &[], 60), "Nothing to lay out.\n");
    }

    #[test]
    fn a_map_in_sixty_columns() {
        let request = request(20_261_125, &[4, 4, 4], 5, true);
        assert_eq!(drawn(&request, &labels(&request), 60), GOLDEN_MAP);
    }

    const GOLDEN_MAP: &str = "    1       2       3       4       5
1 [A1-P1] [A3-P1] [A2-P2] (A2-P1) (A3-P3)
2 <A1-P2> {A2-P4} {A1-P4} {A3-P4} (A1-P3)
3 <A3-P2> <A2-P3>  ·       ·       ·

Row 1 is at the back, column 1 at the left.
Blocks in turn: [ ], ( ), { }, < >.
· is free.
";

    #[test]
    fn a_wide_bench_is_drawn_in_strips_and_long_labels_are_cut() {
        let request = request(6, &[20, 20], 20, false);
        let mut labels = labels(&request);
        labels[7] = "a label that is far too long for any map of a bench in 60 columns".to_owned();
        let map = drawn(&request, &labels, 60);
        assert!(map.lines().all(|line| columns(line) <= 60), "{map}");
        assert!(map.contains("a label that is far") && map.contains('…'));
        assert!(labels.iter().enumerate().all(|(at, label)| at == 7 || map.contains(label.as_str())));
    }
}
