//! How long a large corpus takes: 20,000 arms of 5,000 trials, 1,500 growers, 400 species and 8 methods, or a part of it.
//!
//! `cargo run --release -p propagule-analysis --example large_corpus -- [TRIALS]`
#![expect(clippy::print_stdout, reason = "the figures are printed")]

#[path = "calibration/random.rs"]
#[allow(dead_code, reason = "the other program draws from more laws")]
mod random;

use std::collections::BTreeMap;
use std::time::Instant;

use propagule_analysis::joint::{self, JointOptions};
use propagule_analysis::table::{ArmTable, CountedArm};
use propagule_analysis::{Count, FitError, Grower, rate};
use random::Random;

const METHODS: usize = 8;
const ARMS: usize = 4;

/// The table, and its arms.
fn table(trials: usize) -> Result<(ArmTable, Vec<CountedArm>), Box<dyn std::error::Error>> {
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
    Ok((ArmTable::new(vec![genera, species, METHODS], vec![1.0; growers], arms.clone())?, arms))
}

fn genus_of(arms: &[CountedArm], species: usize) -> Option<usize> {
    arms.iter().find(|arm| arm.levels[1] == Some(species)).and_then(|arm| arm.levels[0])
}

/// Own growers of a species and method.
fn growers(arms: &[CountedArm], species: usize, method: usize) -> Vec<Grower> {
    let mut growers: BTreeMap<usize, Vec<Count>> = BTreeMap::new();
    for arm in arms.iter().filter(|arm| arm.levels[1..] == [Some(species), Some(method)]) {
        growers.entry(arm.grower).or_default().push(arm.count);
    }
    growers.into_values().map(|trials| Grower::new(trials, 1.0)).collect()
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let trials: usize = std::env::args().nth(1).map_or(Ok(5_000), |word| word.parse())?;
    let (table, arms) = table(trials)?;
    let begun = Instant::now();
    let fit = joint::fit(&table, &JointOptions::default())?;
    let fitted = begun.elapsed().as_secs_f64();
    let weights = fit.law_weights()?;
    let weighed = begun.elapsed().as_secs_f64() - fitted;
    // The default model of the own growers an answer has already.
    let genus = genus_of(&arms, 0).ok_or("the first species was not tried")?;
    let own: Vec<Vec<Grower>> = (0..METHODS).map(|method| growers(&arms, 0, method)).collect();
    let again = Instant::now();
    let alone = own.iter().map(|own| {
        let fit = rate::fit(own, &rate::Options::default())?;
        fit.summary();
        Ok(fit)
    });
    let alone = alone.collect::<Result<Vec<_>, FitError>>()?;
    let by_default = again.elapsed().as_secs_f64();
    let again = Instant::now();
    let mut average = 0.0;
    for (method, (own, alone)) in own.iter().zip(&alone).enumerate() {
        let expected = fit.expect_of(&weights, [genus, 0, method], own, alone)?;
        average += expected.average_rate_mean / METHODS as f64;
    }
    let asked = again.elapsed().as_secs_f64();
    let spreads: Vec<String> = fit.spreads().iter().map(|spread| format!("{spread:.2}")).collect();
    println!(
        "{trials} trials: fitted in {fitted:.1} s, weights of laws in {weighed:.1} s, a species by {METHODS} methods in {asked:.3} s \
         (average {average:.2}) beside the default model's {by_default:.3} s; spreads {}; laws {:.2?}",
        spreads.join(" "),
        weights.0
    );
    Ok(())
}

#[test]
fn a_small_part_fits() {
    let (table, _) = table(30).expect("within its levels");
    assert!(joint::fit(&table, &JointOptions::default()).is_ok());
}
