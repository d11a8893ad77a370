//! What the columns of a sweep seen so far foretell of the next.

use super::Column;
use super::column::{CUT, Foreseen};

/// Middle and width of a column at one place of the stretched half line.
#[derive(Clone, Copy, Debug)]
struct Seen {
    t: f64,
    centre: f64,
    log_width: f64,
}

/// The columns of a sweep seen so far.
#[derive(Clone, Debug)]
pub(super) struct Path {
    seen: Vec<Seen>,
    /// Highest log density seen, the spread's own included.
    top: f64,
}

impl Path {
    /// A path on which log densities below `floor` do not matter.
    pub(super) fn new(floor: f64) -> Self {
        Self { seen: Vec::new(), top: floor + CUT }
    }

    /// Highest log density seen, the spread's own included.
    pub(super) fn top(&self) -> f64 {
        self.top
    }

    /// Middle and width to expect at `t`: the line through the two nearest columns.
    pub(super) fn middle(&self, t: f64) -> Option<(f64, f64)> {
        let distance = |seen: &&Seen| (seen.t - t).abs();
        let near = self.seen.iter().min_by(|a, b| distance(a).total_cmp(&distance(b)))?;
        let width = near.log_width.exp();
        let others = self.seen.iter().filter(|seen| seen.t.total_cmp(&near.t).is_ne());
        let Some(next) = others.min_by(|a, b| distance(a).total_cmp(&distance(b))) else {
            return Some((near.centre, width));
        };
        let share = (t - near.t) / (near.t - next.t);
        let centre = near.centre + (share * (near.centre - next.centre)).clamp(-width, width);
        Some((centre, width * (share * (near.log_width - next.log_width)).clamp(-0.5, 0.5).exp()))
    }

    /// What to expect of a column of that middle, where the spread has log density `of_spread`.
    pub(super) fn foreseen(&self, (centre, width): (f64, f64), of_spread: f64) -> Foreseen {
        Foreseen { centre, width, floor: self.top - of_spread - CUT }
    }

    /// Keeps a column found at `t`.
    pub(super) fn add(&mut self, t: f64, column: &Column, of_spread: f64) {
        self.seen.push(Seen { t, centre: column.mean(), log_width: column.width().ln() });
        self.top = self.top.max(column.peak() + of_spread);
    }
}
