//! Measures what "what to try next" promises of its top choice against what that method then keeps.
//!
//! `cargo run --release -p propagule-node --example promise -- 400`
//!
//! Species are invented: 6 methods whose log odds are N(-1.5, 0.8²), each with 1 to 5 growers who differ by N(0, 1²), each
//! with 8 to 30 pieces. The promise is the average grower's rate of the method chosen: by its crude counts, by its own
//! pooled rate, and by the rate partially pooled with the other methods. What it keeps is its true average grower's rate.
#![expect(clippy::print_stdout, reason = "the figures are printed")]

use std::process::ExitCode;

use propagule_analysis::{Count, Grower, rate};
use propagule_answer::plan::{MethodCounts, partially_pooled};

const METHODS: usize = 6;
const BETWEEN_METHODS: f64 = 0.8;
const BETWEEN_GROWERS: f64 = 1.0;
/// The partially pooled promise must keep to this many points of rate on average.
const BAR: f64 = 0.02;

/// The generator of Vigna's splitmix64: one number after another from a seed.
struct Seeded(u64);

impl Seeded {
    fn uniform(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Standard normal, by Box and Muller.
    fn normal(&mut self) -> f64 {
        let radius = (-2.0 * (1.0 - self.uniform()).ln()).sqrt();
        radius * (std::f64::consts::TAU * self.uniform()).cos()
    }

    fn between(&mut self, low: u32, high: u32) -> u32 {
        low + (self.uniform() * f64::from(high - low + 1)) as u32
    }
}

fn logistic(x: f64) -> f64 {
    1.0 / (1.0 + (-x).exp())
}

/// E logistic(mu + s Z), by the trapezoid rule.
fn average_rate(mu: f64, s: f64) -> f64 {
    let density = |k: i32| (-0.5 * (f64::from(k) * 0.05).powi(2)).exp();
    let total: f64 = (-140..=140).map(density).sum();
    (-140..=140).map(|k| density(k) * logistic(mu + s * f64::from(k) * 0.05)).sum::<f64>() / total
}

/// Methods with their true average rates.
fn species(random: &mut Seeded) -> Vec<(f64, MethodCounts)> {
    let method = |_| {
        let mu = -1.5 + BETWEEN_METHODS * random.normal();
        let growers = (0..random.between(1, 5)).map(|_| grower(mu, random)).collect();
        (average_rate(mu, BETWEEN_GROWERS), MethodCounts { growers })
    };
    (0..METHODS).map(method).collect()
}

fn grower(mu: f64, random: &mut Seeded) -> Count {
    let rate = logistic(mu + BETWEEN_GROWERS * random.normal());
    let started = random.between(8, 30);
    let succeeded = (0..started).filter(|_| random.uniform() < rate).count() as u32;
    Count { started, succeeded }
}

fn crude(method: &MethodCounts) -> f64 {
    let sum = |of: fn(&Count) -> u32| f64::from(method.growers.iter().map(of).sum::<u32>());
    sum(|count| count.succeeded) / sum(|count| count.started)
}

fn alone(method: &MethodCounts) -> f64 {
    let growers: Vec<Grower> = method.growers.iter().map(|count| Grower::new(vec![*count], 1.0)).collect();
    rate::fit(&growers, &rate::Options::default())
        .expect("counts are possible")
        .summary()
        .average_grower_rate_mean
}

/// Promises and what was kept, summed over species.
#[derive(Default)]
struct Sums {
    promised: f64,
    kept: f64,
}

impl Sums {
    fn add(&mut self, truths: &[f64], rates: &[f64]) {
        let best = (0..rates.len()).max_by(|a, b| rates[*a].total_cmp(&rates[*b])).expect("methods");
        self.promised += rates[best];
        self.kept += truths[best];
    }

    fn words(&self, species: usize) -> String {
        let share = |sum: f64| 100.0 * sum / species as f64;
        format!("promised {:.1} % kept {:.1} %", share(self.promised), share(self.kept))
    }
}

fn main() -> ExitCode {
    let runs = std::env::args().nth(1).and_then(|text| text.parse().ok()).unwrap_or(400);
    let mut random = Seeded(20_260_704);
    let (mut by_crude, mut by_alone, mut by_pooled) = (Sums::default(), Sums::default(), Sums::default());
    for _ in 0..runs {
        let (truths, methods): (Vec<f64>, Vec<MethodCounts>) = species(&mut random).into_iter().unzip();
        let pooled = |index| partially_pooled(&methods, index).expect("counts are possible").mean;
        by_crude.add(&truths, &methods.iter().map(crude).collect::<Vec<_>>());
        by_alone.add(&truths, &methods.iter().map(alone).collect::<Vec<_>>());
        by_pooled.add(&truths, &(0..METHODS).map(pooled).collect::<Vec<_>>());
    }
    println!(
        "promise of the top choice of {METHODS} methods, {runs} species: crude counts {}; own pooled rate {}; partially \
         pooled {} (bar {:.0} points)",
        by_crude.words(runs),
        by_alone.words(runs),
        by_pooled.words(runs),
        100.0 * BAR,
    );
    let off = (by_pooled.promised - by_pooled.kept).abs() / runs as f64;
    if off <= BAR { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}
