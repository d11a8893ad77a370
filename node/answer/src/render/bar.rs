//! Intervals drawn by characters, readable without colour: `..===O====......` and `  ------`.

/// Upper end of the axis, as a rate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Axis {
    end: f64,
}

/// Ends an axis may have; the shortest one that holds everything is taken.
const ENDS: [f64; 5] = [0.05, 0.1, 0.25, 0.5, 1.0];

impl Axis {
    /// The shortest axis that holds `largest`.
    pub(super) fn holding(largest: f64) -> Self {
        Self { end: ENDS.into_iter().find(|end| largest <= *end).unwrap_or(1.0) }
    }

    fn cell(self, rate: f64, width: usize) -> usize {
        ((rate / self.end).clamp(0.0, 1.0) * (width - 1) as f64).round() as usize
    }

    /// A bar of `width` characters: `.` over the new grower's range, `=` over the average's interval, `O` at the
    /// average.
    pub(super) fn bar(
        self,
        average: f64,
        average_points: [f64; 3],
        new_points: [f64; 3],
        width: usize,
    ) -> String {
        let mut cells = vec![' '; width];
        let mut fill = |points: [f64; 3], mark: char| {
            let (first, last) = (self.cell(points[0], width), self.cell(points[2], width));
            cells[first..=last.max(first)].fill(mark);
        };
        fill(new_points, '.');
        fill(average_points, '=');
        cells[self.cell(average, width)] = 'O';
        cells.into_iter().collect()
    }

    /// A bar of `-` over an interval.
    pub(super) fn interval(self, (low, high): (f64, f64), width: usize) -> String {
        let (first, last) = (self.cell(low, width), self.cell(high, width));
        format!("{}{}", " ".repeat(first), "-".repeat(last - first + 1))
    }

    /// The axis below the bars: `0         25        50 %`.
    pub(super) fn ruler(self, width: usize) -> String {
        let middle = format!("{}", self.end * 50.0);
        let end = format!("{} %", self.end * 100.0);
        let mut line = format!("{:width$}", "0");
        let half = (width / 2).saturating_sub(middle.len() / 2);
        line.replace_range(half..half + middle.len(), &middle);
        line.replace_range(width - end.len().., &end);
        line
    }
}
