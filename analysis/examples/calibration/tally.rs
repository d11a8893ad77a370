//! How often intervals held the truth, and how wide they were.

use propagule_analysis::rate::RateSummary;

use crate::truth::Truth;

/// Interval of one quantity: hits and width, summed over data sets.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Interval {
    hits: f64,
    squares: f64,
    widths: f64,
    sets: u32,
}

impl Interval {
    fn add(&mut self, hit: f64, quantiles: [f64; 3]) {
        self.hits += hit;
        self.squares += hit * hit;
        self.widths += quantiles[2] - quantiles[0];
        self.sets += 1;
    }

    fn join(&mut self, other: Self) {
        self.hits += other.hits;
        self.squares += other.squares;
        self.widths += other.widths;
        self.sets += other.sets;
    }

    /// Share of data sets whose interval held the truth, 0..=1.
    pub(crate) fn coverage(&self) -> f64 {
        self.hits / f64::from(self.sets)
    }

    /// Standard error of the coverage.
    pub(crate) fn error(&self) -> f64 {
        let n = f64::from(self.sets);
        ((self.squares / n - self.coverage().powi(2)).max(0.0) / n).sqrt()
    }

    /// Mean width, in points of the rate (0..=1).
    pub(crate) fn width(&self) -> f64 {
        self.widths / f64::from(self.sets)
    }
}

/// All that is kept of a cell's data sets.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Tally {
    pub(crate) typical: Interval,
    pub(crate) average: Interval,
    pub(crate) new_grower: Interval,
    excess: f64,
}

impl Tally {
    /// Adds one fit.
    pub(crate) fn add(&mut self, truth: &Truth, fit: &RateSummary) {
        let held = |q: [f64; 3], value: f64| f64::from(u8::from((q[0]..=q[2]).contains(&value)));
        let (typical, average) = (fit.typical_grower_rate_q, fit.average_grower_rate_q);
        let average_rate = truth.average();
        self.typical.add(held(typical, truth.typical()), typical);
        self.average.add(held(average, average_rate), average);
        // The share of new growers inside, exactly: it needs no draw of a grower.
        let new = fit.new_grower_rate_q;
        self.new_grower.add(truth.chance_within(new[0], new[2]), new);
        self.excess += fit.average_grower_rate_mean - average_rate;
    }

    pub(crate) fn join(&mut self, other: Self) {
        self.typical.join(other.typical);
        self.average.join(other.average);
        self.new_grower.join(other.new_grower);
        self.excess += other.excess;
    }

    /// Mean of estimate less truth of the average grower's rate (0..=1).
    pub(crate) fn excess(&self) -> f64 {
        self.excess / f64::from(self.average.sets)
    }
}
