//! The bench as a picture that can be printed without colour.

use maud::{Markup, PreEscaped, html};
use propagule_files::counted::counted;

use super::{BenchMap, BenchPlace};

/// Size of a place and of the margin for row and column numbers.
const WIDE: usize = 72;
const HIGH: usize = 36;
const MARGIN: usize = 24;

/// Patterns by which neighbouring blocks are told apart in print; the first is plain.
const PATTERNS: usize = 4;

/// Letters of a label that stay readable.
const LETTERS: usize = 20;

const DEFINITIONS: &str = "<defs>\
<pattern id=\"bench-1\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\">\
<path d=\"M0 6L6 0\" stroke=\"#000\" stroke-width=\".6\"/></pattern>\
<pattern id=\"bench-2\" width=\"5\" height=\"5\" patternUnits=\"userSpaceOnUse\">\
<circle cx=\"2.5\" cy=\"2.5\" r=\".8\"/></pattern>\
<pattern id=\"bench-3\" width=\"5\" height=\"5\" patternUnits=\"userSpaceOnUse\">\
<path d=\"M0 2.5H5\" stroke=\"#000\" stroke-width=\".6\"/></pattern></defs>";

/// Each place with its label, blocks by pattern and number, free places dashed.
pub(super) fn picture(map: &BenchMap) -> Markup {
    let (rows, columns) = (map.rows.len(), map.columns());
    let (wide, high) = (MARGIN + columns * WIDE + 2, MARGIN + rows * HIGH + 2);
    let shows_blocks = map.blocks() > 1;
    html! {
        svg xmlns="http://www.w3.org/2000/svg" viewBox={ "0 0 " (wide) " " (high) } role="img" font-family="'DejaVu Sans',Arial,sans-serif" font-size="11" text-anchor="middle" {
            title { (title(map)) }
            (PreEscaped(DEFINITIONS))
            @for column in 0..columns { (number(MARGIN + column * WIDE + WIDE / 2, MARGIN - 8, column + 1)) }
            @for row in 0..rows { (number(MARGIN / 2, MARGIN + row * HIGH + HIGH / 2 + 4, row + 1)) }
            @for (row, places) in map.rows.iter().enumerate() {
                @for (column, place) in places.iter().enumerate() {
                    (drawn(place, (MARGIN + column * WIDE + 1, MARGIN + row * HIGH + 1), shows_blocks))
                }
            }
        }
    }
}

fn title(map: &BenchMap) -> String {
    let placed = map.places().filter(|place| place.label.is_some()).count();
    let blocks = map.blocks();
    format!(
        "Bench map: {} on {} of {}{}; row 1 at the back, column 1 at the left",
        counted(placed, "replicate", "replicates"),
        counted(map.rows.len(), "row", "rows"),
        counted(map.columns(), "place", "places"),
        if blocks > 1 { format!(", {blocks} blocks told apart by pattern") } else { String::new() }
    )
}

fn number(x: usize, y: usize, number: usize) -> Markup {
    html! { text x=(x) y=(y) { (number) } }
}

fn drawn(place: &BenchPlace, (x, y): (usize, usize), shows_blocks: bool) -> Markup {
    let (w, h) = (WIDE - 2, HIGH - 2);
    let Some(label) = &place.label else {
        return html! {
            rect x=(x) y=(y) width=(w) height=(h) fill="none" stroke="#000" stroke-width=".6" stroke-dasharray="3 3" {}
        };
    };
    let pattern = place.block.map_or(0, |block| usize::from(block.saturating_sub(1)) % PATTERNS);
    let fill = if pattern == 0 { "#fff".to_owned() } else { format!("url(#bench-{pattern})") };
    let label = shortened(label);
    let letters = label.chars().count().max(1);
    // A bold letter is about two thirds as wide as high.
    let size = (((w - 10) as f64) / (0.68 * letters as f64)).clamp(4.0, 12.0);
    let (middle, block) = (x + w / 2, place.block.filter(|_| shows_blocks));
    let baseline = y + if block.is_some() { 16 } else { 21 };
    html! {
        rect x=(x) y=(y) width=(w) height=(h) fill=(fill) stroke="#000" {}
        rect x=(x + 4) y=(y + 4) width=(w - 8) height=(h - 8) fill="#fff" {}
        text x=(middle) y=(baseline) font-size=(format!("{size:.1}")) font-weight="bold" { (label) }
        @if let Some(block) = block { text x=(middle) y=(y + 27) font-size="7" { "block " (block) } }
    }
}

fn shortened(label: &str) -> String {
    if label.chars().count() <= LETTERS {
        return label.to_owned();
    }
    label.chars().take(LETTERS - 1).chain(['…']).collect()
}
