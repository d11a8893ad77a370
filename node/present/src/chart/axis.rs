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

    /// A bar of `width` characters: `.` over the range, `=` over the interval, `O` at the rate.
    pub(super) fn bar(self, rate: f64, interval: [f64; 2], range: [f64; 2], width: usize) -> String {
        let mut cells = vec![' '; width];
        let mut fill = |[low, high]: [f64; 2], mark: char| {
            let (first, last) = (self.cell(low, width), self.cell(high, width));
            cells[first..=last.max(first)].fill(mark);
        };
        fill(range, '.');
        fill(interval, '=');
        cells[self.cell(rate, width)] = 'O';
        cells.into_iter().collect()
    }

    /// A bar of `-` over an interval.
    pub(super) fn interval(self, [low, high]: [f64; 2], width: usize) -> String {
        let (first, last) = (self.cell(low, width), self.cell(high, width));
        format!("{}{}", " ".repeat(first), "-".repeat(last.max(first) - first + 1))
    }

    /// A line with `mark` at `rate`.
    pub(super) fn mark(self, mark: char, rate: f64, width: usize) -> String {
        format!("{}{mark}", " ".repeat(self.cell(rate, width)))
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

#[cfg(test)]
mod tests {
    use super::Axis;

    #[test]
    fn the_axis_is_as_short_as_the_largest_limit_allows() {
        let axis = Axis::holding(0.12);
        assert_eq!(axis.ruler(40), format!("0{}12.5{}25 %", " ".repeat(17), " ".repeat(14)));
        let line = axis.bar(0.02, [0.0003, 0.11], [0.0002, 0.12], 41);
        assert_eq!(line.len(), 41);
        assert_eq!(&line[..20], "===O===============.");
    }
}
