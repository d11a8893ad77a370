//! How long a large corpus takes: 20,000 arms of 5,000 trials, 1,500 growers, 400 species and 8 methods, or a part of it.
//!
//! `cargo run --release -p propagule-analysis --example large_corpus -- [TRIALS]`
#![expect(clippy::print_stdout, reason = "the figures are printed")]

#[path = "calibration/random.rs"]
#[allow(dead_code, reason = "the other program draws from more laws")]
mod random;

use std::time::Instant;

use propagule_analysis::Count;
use propagule_analysis::joint::{self, JointOptions};
use propagule_analysis::table::{ArmTable, CountedArm};
use random::Random;

const METHODS: usize = 8;
const ARMS: usize = 4;

fn table(trials: usize) -> Result<ArmTable, Box<dyn std::error::Error>> {
    let mut random = Random::new(1, 0);
    let (growers, species) = (trials * 3 / 10, (trials / 12).max(20));
    let genera = species / 3;
    let mut below = |n: usize| random.whole(0, n as u32 - 1) as usize;
    let genus: Vec<usize> = (0..species).map(|_| below(genera)).collect();
    let mut random = Random::new(2, 0);
    let mut draw = |count: usize, sd: f64| -> Vec<f64> { (0..count).map(|_| sd * random.normal()).collect() };
    let (of_genus, of_species, of_method) = (draw(genera, 0.6), draw(species, 0.5), draw(METHODS, 0.6));
    let (of_cell, of_grower) = (draw(species * METHODS, 0.4), draw(growers, 0.6));
    let mut random = Random::new(3, 0);
    let mut arms = Vec::new();
    for trial in 0..trials {
        let s = ((species as f64) * random.uniform().powf(1.0 / 0.3)) as usize % species;
        let grower = random.whole(0, growers as u32 - 1) as usize;
        let (first, away) = (random.whole(0, METHODS as u32 - 1) as usize, 0.5 * random.normal());
        for method in (0..ARMS).map(|k| (first + 2 * k) % METHODS + usize::from(k > 3)) {
            let method = method % METHODS;
            let level =
                -1.5 + of_genus[genus[s]] + of_species[s] + of_method[method] + of_cell[s * METHODS + method];
            let log_odds = level + of_grower[grower] + away + 0.3 * random.normal();
            let started = 24;
            let succeeded = random.binomial(started, 1.0 / (1.0 + (-log_odds).exp()));
            arms.push(CountedArm {
                grower,
                trial,
                levels: vec![Some(genus[s]), Some(s), Some(method)],
                count: Count { started, succeeded },
                replicates: 1,
            });
        }
    }
    Ok(ArmTable::new(vec![genera, species, METHODS], vec![1.0; growers], arms)?)
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let trials: usize = std::env::args().nth(1).map_or(Ok(5_000), |word| word.parse())?;
    let table = table(trials)?;
    let begun = Instant::now();
    let fit = joint::fit(&table, &JointOptions::default())?;
    let fitted = begun.elapsed().as_secs_f64();
    let weights = fit.law_weights()?;
    let weighed = begun.elapsed().as_secs_f64() - fitted;
    let again = Instant::now();
    let mut average = 0.0;
    for method in 0..METHODS {
        average += fit.expect(&weights, 0, 0, method)?.average_rate_mean / METHODS as f64;
    }
    let asked = again.elapsed().as_secs_f64();
    let spreads: Vec<String> = fit.spreads().iter().map(|spread| format!("{spread:.2}")).collect();
    println!(
        "{trials} trials: fitted in {fitted:.1} s, weights of laws in {weighed:.1} s, a species by {METHODS} methods in {asked:.2} s \
         (average {average:.2}); spreads {}; laws {:.2?}",
        spreads.join(" "),
        weights.0
    );
    Ok(())
}

#[test]
fn a_small_part_fits() {
    let table = table(30).expect("within its levels");
    assert!(joint::fit(&table, &JointOptions::default()).is_ok());
}
