//! The same rows in characters.

use super::{Forest, ForestRow, KeyMark, Reading};
use crate::chart::axis::Axis;
use crate::lines::{Lines, columns, label, pad_left};

/// Columns by which a bar is set in below the heading of its row.
const STEP: usize = 2;

/// A line and a bar a row, then the axis and what the marks mean.
pub(super) fn write(forest: &Forest, lines: &mut Lines) {
    let axis = Axis::holding(forest.rows().map(ForestRow::first_reach).fold(0.0, f64::max));
    let step = if forest.rows().any(|row| !row.what.is_empty()) { STEP } else { 0 };
    for block in &forest.blocks {
        lines.wrap_text(&block.heading);
        for row in &block.rows {
            heading(row, lines);
            lines.set_in(step, |lines| bars(row, axis, lines));
        }
    }
    lines.set_in(step, |lines| {
        lines.push(&axis.ruler(lines.room()));
        let keys = forest.keys().filter(|key| key.mark != KeyMark::Everybody);
        let keys: Vec<&str> = keys.map(|key| key.in_text.as_str()).collect();
        lines.wrap_text(&keys.join(", "));
    });
}

/// What the row is of on the left, count and rate on the right; on lines of their own where they do not fit on one.
fn heading(row: &ForestRow, lines: &mut Lines) {
    if row.what.is_empty() {
        return;
    }
    let (count, of) = row.count;
    let (what, right) = (label(&row.what), format!("{count}/{of}   {}", label(&row.rate)));
    let room = lines.room();
    if columns(&what) + 2 + columns(&right) <= room {
        lines.push(&format!("{what}{}", pad_left(&right, room - columns(&what))));
        return;
    }
    lines.wrap_text(&what);
    if columns(&right) <= room {
        lines.push(&pad_left(&right, room));
    } else {
        lines.wrap_text(&right);
    }
}

fn bars(row: &ForestRow, axis: Axis, lines: &mut Lines) {
    let room = lines.room();
    lines.push(&match row.reading {
        Reading::Average { rate, interval, range } => axis.bar(rate, interval, range, room),
        Reading::Count { interval, .. } => axis.interval(interval, room),
    });
    if let Some(own) = row.own_rate() {
        lines.push(&axis.mark('^', own, room));
    }
}
