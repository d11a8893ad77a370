//! What is counted over corpora, and what it has to reach.

use propagule_analysis::rate::RateLaw;

use crate::corpus::{Twist, World};

/// Pieces of the trial that is foretold, and successes wanted.
const FORETOLD: u32 = 24;
const WANTED: u32 = 5;
/// Points of the truth: standard deviations from -6 to 6.
const POINTS: i32 = 240;

/// Means over species and methods.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Figures {
    count: f64,
    loss: f64,
    covered: f64,
    width: f64,
    squared: f64,
    attained: f64,
    planned: f64,
}

/// One class of species and methods.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Class {
    /// With what is learnt, and by the default model.
    pub(crate) all: Figures,
    pub(crate) today: Figures,
    /// Sum of widths of who knows the true spreads.
    pub(crate) oracle_width: f64,
}

impl Class {
    /// In points; none where nobody knows.
    fn oracle(&self) -> Option<f64> {
        (self.oracle_width > 0.0).then(|| 100.0 * self.oracle_width / self.all.count)
    }
}

impl std::fmt::Display for Class {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let oracle = self.oracle().map_or_else(|| " –".to_owned(), |width| format!("{width:>3.0}"));
        write!(f, "{} | {} |{oracle}", self.all, self.today)
    }
}

/// The truth as points of a new grower's rate.
pub(crate) struct Truth {
    points: Vec<(f64, f64)>,
    mean: f64,
    counts: Vec<f64>,
}

fn logistic(x: f64) -> f64 {
    1.0 / (1.0 + (-x).exp())
}

impl Truth {
    pub(crate) fn new((level, spread): (f64, f64)) -> Self {
        let z = |k: i32| 12.0 * (f64::from(k) + 0.5) / f64::from(POINTS) - 6.0;
        let total: f64 = (0..POINTS).map(|k| (-0.5 * z(k).powi(2)).exp()).sum();
        let point = |k: i32| (logistic(level + spread * z(k)), (-0.5 * z(k).powi(2)).exp() / total);
        let points: Vec<(f64, f64)> = (0..POINTS).map(point).collect();
        let mut counts = vec![0.0; FORETOLD as usize + 1];
        for (rate, weight) in &points {
            let of_rate = RateLaw::certain(*rate).counts(FORETOLD);
            counts.iter_mut().zip(of_rate).for_each(|(sum, chance)| *sum += weight * chance);
        }
        Self { mean: points.iter().map(|(rate, weight)| rate * weight).sum(), points, counts }
    }

    fn between(&self, low: f64, high: f64) -> f64 {
        self.points.iter().filter(|(rate, _)| (low..=high).contains(rate)).map(|(_, weight)| weight).sum()
    }

    fn at_least(&self, n: u32) -> f64 {
        self.points.iter().map(|(rate, weight)| weight * RateLaw::certain(*rate).at_least(WANTED, n)).sum()
    }
}

impl Figures {
    /// Adds what a law says of a truth; a number to start is asked for where something succeeded.
    pub(crate) fn add(&mut self, law: &RateLaw, average: f64, truth: &Truth, some_succeeded: bool) {
        let (low, high) = (law.quantile(0.025), law.quantile(0.975));
        self.count += 1.0;
        self.covered += truth.between(low, high);
        self.width += high - low;
        self.squared += (average - truth.mean).powi(2);
        let told = law.counts(FORETOLD);
        self.loss += truth
            .counts
            .iter()
            .zip(told)
            .filter(|(p, _)| **p > 0.0)
            .map(|(p, q)| p * (p / q).ln())
            .sum::<f64>();
        let number = if some_succeeded { law.number_to_start(WANTED, 0.8) } else { None };
        if let Some(number) = number {
            self.planned += 1.0;
            self.attained += truth.at_least(number);
        }
    }

    pub(crate) fn count(&self) -> f64 {
        self.count
    }

    fn loss(&self) -> f64 {
        self.loss / self.count
    }

    fn covered(&self) -> f64 {
        100.0 * self.covered / self.count
    }

    fn width(&self) -> f64 {
        100.0 * self.width / self.count
    }

    fn error(&self) -> f64 {
        100.0 * (self.squared / self.count).sqrt()
    }

    fn attained(&self) -> f64 {
        100.0 * self.attained / self.planned.max(1.0)
    }
}

impl std::fmt::Display for Figures {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(
            f,
            "{:.3} {:>5.1} {:>3.0} {:>4.1} {:>3.0}",
            self.loss(),
            self.covered(),
            self.width(),
            self.error(),
            self.attained()
        )
    }
}

/// Bars that are missed, in words; `class` is 0 for never tried, 1 for one or two own arms, 2 for more.
pub(crate) fn short(world: &World, class: usize, figures: &Class) -> Vec<String> {
    let Class { all, today, .. } = figures;
    let number = &world.name[..2];
    let mut short = Vec::new();
    let mut hold = |is_held: bool, what: String| {
        if !is_held {
            short.push(what);
        }
    };
    // Two Monte Carlo errors, of how much coverage differs from cell to cell.
    let slack = 2.0 * 12.0 / all.count.sqrt();
    let (low, high) = match number {
        "W7" => (91.0, 98.0),
        "W8" => (92.0, 99.8),
        _ => (92.0, 98.0),
    };
    let covered = all.covered();
    hold(
        (low - slack..=high + slack).contains(&covered),
        format!("covers {covered:.1} (bar {low} to {high})"),
    );
    if class > 0 {
        let (low, high) = match number {
            "W3" => (74.0, 86.0),
            "W7" | "W8" => (77.0, 90.0),
            _ => (77.0, 86.0),
        };
        let (attained, slack) = (all.attained(), 2.0 * 25.0 / all.planned.max(1.0).sqrt());
        hold(
            (low - slack..=high + slack).contains(&attained),
            format!("attains {attained:.0} (bar {low} to {high})"),
        );
    }
    let (loss, of_today) = (all.loss(), today.loss());
    hold(
        loss <= of_today + 0.02 + 0.3 / all.count.sqrt(),
        format!("loss {loss:.3} (default model {of_today:.3})"),
    );
    if class == 1 && matches!(number, "W1" | "W3" | "W8") {
        hold(loss <= 0.6 * of_today, format!("loss {loss:.3} (bar {:.3})", 0.6 * of_today));
    }
    if let Some(oracle) = figures.oracle() {
        let most = if number == "W8" { 1.6 } else { 1.3 };
        hold(all.width() <= most * oracle, format!("width {:.0} (true spreads {oracle:.0})", all.width()));
    }
    let room = if world.twist == Twist::Default { 1.0 } else { 0.0 };
    hold(
        all.error() <= today.error() + room + 4.0 / all.count.sqrt(),
        format!("error {:.1} points (default model {:.1})", all.error(), today.error()),
    );
    if world.twist == Twist::Default {
        hold(
            all.width() <= 1.1 * today.width(),
            format!("width {:.0} (default model {:.0})", all.width(), today.width()),
        );
    }
    short
}
