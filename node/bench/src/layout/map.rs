//! The bench as plain text.

use std::fmt::Write;

use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use super::{Cell, Layout};

/// Brackets by which neighbouring blocks are told apart without colour.
const BRACKETS: [(char, char); 4] = [('[', ']'), ('(', ')'), ('{', '}'), ('<', '>')];

/// A map at most `width` columns wide, with the label of each replicate where it stands.
///
/// A bench that is too wide is drawn in strips, left part first; labels that are too long lose their end. `labels`
/// are those of the request's replicates, in their order.
pub fn map_text(layout: &Layout, labels: &[String], width: usize) -> String {
    if layout.cells.is_empty() {
        return "Nothing to lay out.\n".to_owned();
    }
    let label = |cell: &Cell| cell.replicate.and_then(|at| labels.get(at)).map_or("", String::as_str);
    let margin = layout.rows.to_string().len() + 1;
    let widest = layout.cells.iter().map(|cell| label(cell).width()).max().unwrap_or(0);
    let least = layout.columns.to_string().len();
    let inner = widest.max(least).min(width.saturating_sub(margin + 3)).max(1);
    let across = (width.saturating_sub(margin) / (inner + 3)).clamp(1, layout.columns);
    let mut text = String::new();
    for first in (0..layout.columns).step_by(across) {
        let columns = first..(first + across).min(layout.columns);
        let heads = columns.clone().map(|column| format!("  {:<inner$}", column + 1));
        let head = format!("{:margin$}{}", "", heads.collect::<Vec<_>>().join(" "));
        writeln!(text, "{}", head.trim_end()).expect(WRITES);
        for row in 0..layout.rows {
            let cells = columns.clone().map(|column| &layout.cells[row * layout.columns + column]);
            let cells: Vec<String> = cells.map(|cell| drawn(cell, label(cell), inner)).collect();
            let line = format!("{:>1$} {2}", row + 1, margin - 1, cells.join(""));
            writeln!(text, "{}", line.trim_end()).expect(WRITES);
        }
        text.push('\n');
    }
    text + &legend(layout)
}

const WRITES: &str = "writing to a string never fails";

fn drawn(cell: &Cell, label: &str, inner: usize) -> String {
    let (open, close) = if cell.replicate.is_some() { brackets(cell.block) } else { (' ', ' ') };
    let label = if cell.replicate.is_some() { shortened(label, inner) } else { "·".to_owned() };
    let fill = " ".repeat(inner.saturating_sub(label.width()));
    format!("{open}{label}{fill}{close} ")
}

fn brackets(block: Option<u8>) -> (char, char) {
    BRACKETS[block.map_or(0, |block| usize::from(block.saturating_sub(1)) % BRACKETS.len())]
}

fn shortened(label: &str, width: usize) -> String {
    if label.width() <= width {
        return label.to_owned();
    }
    let mut short = String::new();
    for c in label.chars() {
        if short.width() + c.width().unwrap_or(0) + 1 > width {
            break;
        }
        short.push(c);
    }
    short + "…"
}

fn legend(layout: &Layout) -> String {
    let mut legend = "Row 1 is at the back, column 1 at the left.\n".to_owned();
    let blocks: std::collections::BTreeSet<u8> = layout.cells.iter().filter_map(|cell| cell.block).collect();
    if blocks.len() > 1 {
        let shown = BRACKETS.iter().take(blocks.len()).map(|(open, close)| format!("{open} {close}"));
        let again = if blocks.len() > BRACKETS.len() { ", then again" } else { "" };
        let shown = shown.collect::<Vec<_>>().join(", ");
        writeln!(legend, "Blocks in turn: {shown}{again}.").expect(WRITES);
    }
    if layout.cells.iter().any(|cell| cell.replicate.is_none()) {
        legend.push_str("· is free.\n");
    }
    legend
}
