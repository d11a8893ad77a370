//! A corpus: trials of relatives together, and what they say of a species that nobody has tried by a method.
//!
//! `cargo run -p propagule-analysis --example corpus`
#![expect(clippy::print_stdout, reason = "the table is printed")]

use propagule_analysis::Count;
use propagule_analysis::joint::{self, CellLaw, JointFit, JointOptions};
use propagule_analysis::table::{ArmTable, CountedArm};

/// Species with the number of their genus, and methods.
const SPECIES: [(&str, usize); 3] = [("Cornus mas", 0), ("Cornus tertia", 0), ("Ribes nigrum", 1)];
const METHODS: [&str; 2] = ["hardwood, open", "semi-ripe, mist"];
const SPREADS: [&str; 8] =
    ["genera", "species", "methods", "genera by method", "species by method", "growers", "trials", "arms"];

/// Invented: grower, trial, species, method, started, succeeded. Nobody tried the second species under mist.
const ARMS: [(usize, usize, usize, usize, u32, u32); 9] = [
    (0, 0, 0, 0, 24, 3),
    (0, 0, 0, 1, 24, 9),
    (1, 1, 0, 0, 16, 1),
    (1, 2, 1, 0, 20, 2),
    (2, 3, 1, 0, 12, 1),
    (2, 4, 2, 0, 30, 21),
    (2, 4, 2, 1, 30, 27),
    (3, 5, 2, 0, 16, 8),
    (3, 6, 0, 1, 20, 6),
];

fn fit() -> Result<JointFit, Box<dyn std::error::Error>> {
    let arm =
        |&(grower, trial, species, method, started, succeeded): &(usize, usize, usize, usize, u32, u32)| {
            CountedArm {
                grower,
                trial,
                levels: vec![Some(SPECIES[species].1), Some(species), Some(method)],
                count: Count { started, succeeded },
                replicates: 1,
            }
        };
    let table = ArmTable::new(vec![2, 3, 2], vec![1.0; 4], ARMS.iter().map(arm).collect())?;
    Ok(joint::fit(&table, &JointOptions::default())?)
}

fn cell(fit: &JointFit, species: usize, method: usize) -> Result<CellLaw, Box<dyn std::error::Error>> {
    Ok(fit.cell(SPECIES[species].1, species, method)?)
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let fit = fit()?;
    println!("Averaged over growers, a new grower's trial, and the chance of 5 of 24 there:");
    for (species, (own, _)) in SPECIES.iter().enumerate() {
        for (method, name) in METHODS.iter().enumerate() {
            let law = cell(&fit, species, method)?;
            let [low, high] = [0.025, 0.975].map(|p| 100.0 * law.new_grower_rate(p));
            let (average, chance) = (100.0 * law.average_rate_mean, law.chance_at_least(5, 24));
            println!("  {own:<14}{name:<17}{average:>4.0} % ({low:.0} to {high:.0}) {chance:.2}");
        }
    }
    println!("Spreads in log odds:");
    for (name, spread) in SPREADS.iter().zip(fit.spreads()) {
        println!("  {name:<18}{spread:.2}");
    }
    Ok(())
}

#[test]
fn it_runs() {
    main().expect("the corpus fits");
    // A species that was never misted takes after its genus, and after what mist does for others.
    let fit = fit().expect("fits");
    let average = |species, method| cell(&fit, species, method).expect("converges").average_rate_mean;
    assert!(average(1, 1) > average(1, 0) && average(1, 1) < average(2, 1));
}
