//! The bench as a picture.

use std::collections::BTreeSet;

use super::page::escape;
use propagule_bench::layout::{Cell, Layout};
use propagule_files::counted::counted;

/// Size of a place and of the margin for row and column numbers.
const WIDE: usize = 72;
const HIGH: usize = 36;
const MARGIN: usize = 24;

/// Patterns by which neighbouring blocks are told apart in print; the first is plain.
const PATTERNS: usize = 4;

/// Letters of a label that stay readable.
const LETTERS: usize = 20;

/// The layout as SVG: each place with its label, blocks by pattern and number, free places dashed.
///
/// `labels` are those of the request's replicates, in their order.
pub fn bench_map(layout: &Layout, labels: &[String]) -> String {
    let (wide, high) = (MARGIN + layout.columns * WIDE + 2, MARGIN + layout.rows * HIGH + 2);
    let placed = layout.cells.iter().filter(|cell| cell.replicate.is_some()).count();
    let blocks = layout.cells.iter().filter_map(|cell| cell.block).collect::<BTreeSet<_>>().len();
    let title = format!(
        "Bench map: {} on {} of {}{}; row 1 at the back, column 1 at the left",
        counted(placed, "replicate", "replicates"),
        counted(layout.rows, "row", "rows"),
        counted(layout.columns, "place", "places"),
        if blocks > 1 { format!(", {blocks} blocks told apart by pattern") } else { String::new() }
    );
    let columns: String =
        (0..layout.columns).map(|at| number(MARGIN + at * WIDE + WIDE / 2, MARGIN - 8, at + 1)).collect();
    let rows: String =
        (0..layout.rows).map(|at| number(MARGIN / 2, MARGIN + at * HIGH + HIGH / 2 + 4, at + 1)).collect();
    let label = |cell: &Cell| cell.replicate.and_then(|at| labels.get(at)).map_or("", String::as_str);
    let cells: String = layout.cells.iter().map(|cell| place(cell, label(cell), blocks > 1)).collect();
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {wide} {high}\" role=\"img\" \
         font-family=\"'DejaVu Sans',Arial,sans-serif\" font-size=\"11\" text-anchor=\"middle\">\n\
         <title>{title}</title>\n{DEFINITIONS}{columns}{rows}{cells}</svg>\n"
    )
}

const DEFINITIONS: &str = "<defs>\
<pattern id=\"bench-1\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\">\
<path d=\"M0 6L6 0\" stroke=\"#000\" stroke-width=\".6\"/></pattern>\
<pattern id=\"bench-2\" width=\"5\" height=\"5\" patternUnits=\"userSpaceOnUse\">\
<circle cx=\"2.5\" cy=\"2.5\" r=\".8\"/></pattern>\
<pattern id=\"bench-3\" width=\"5\" height=\"5\" patternUnits=\"userSpaceOnUse\">\
<path d=\"M0 2.5H5\" stroke=\"#000\" stroke-width=\".6\"/></pattern></defs>\n";

fn number(x: usize, y: usize, number: usize) -> String {
    format!("<text x=\"{x}\" y=\"{y}\">{number}</text>\n")
}

fn place(cell: &Cell, label: &str, shows_blocks: bool) -> String {
    let (x, y) = (MARGIN + cell.column * WIDE + 1, MARGIN + cell.row * HIGH + 1);
    let (w, h) = (WIDE - 2, HIGH - 2);
    if cell.replicate.is_none() {
        return format!(
            "<rect x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\" fill=\"none\" stroke=\"#000\" \
             stroke-width=\".6\" stroke-dasharray=\"3 3\"/>\n"
        );
    }
    let pattern = cell.block.map_or(0, |block| usize::from(block.saturating_sub(1)) % PATTERNS);
    let fill = if pattern == 0 { "#fff".to_owned() } else { format!("url(#bench-{pattern})") };
    let label: String = shortened(label);
    let letters = label.chars().count().max(1);
    // A bold letter is about two thirds as wide as high.
    let size = (((w - 10) as f64) / (0.68 * letters as f64)).clamp(4.0, 12.0);
    let (middle, block) = (x + w / 2, cell.block.filter(|_| shows_blocks));
    let under = block.map_or_else(String::new, |block| {
        format!("<text x=\"{middle}\" y=\"{}\" font-size=\"7\">block {block}</text>", y + 27)
    });
    let baseline = y + if block.is_some() { 16 } else { 21 };
    format!(
        "<rect x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\" fill=\"{fill}\" stroke=\"#000\"/>\
         <rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"#fff\"/>\
         <text x=\"{middle}\" y=\"{baseline}\" font-size=\"{size:.1}\" font-weight=\"bold\">{}</text>{under}\n",
        x + 4,
        y + 4,
        w - 8,
        h - 8,
        escape(&label)
    )
}

fn shortened(label: &str) -> String {
    if label.chars().count() <= LETTERS {
        return label.to_owned();
    }
    label.chars().take(LETTERS - 1).chain(['…']).collect()
}
