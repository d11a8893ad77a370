//! A network of four methods: who is better by the normal model, by the exact likelihood and by weak priors; whether direct
//! and indirect evidence agree.
//!
//! `cargo run -p propagule-analysis --example four_methods`
#![expect(clippy::print_stdout, reason = "the table is printed")]

use propagule_analysis::Count;
use propagule_analysis::meta::wald_statistic;
use propagule_analysis::network::{
    self, NetworkOptions, NetworkTrial, TrialArm, binomial_common, common_effect, dersimonian_laird,
    inconsistency, p_scores, random_effects, rank_probabilities, split_nodes,
};
use propagule_analysis::shrunk::{self, ShrunkOptions};
use propagule_analysis::table::{ArmTable, ArmTableError, CountedArm};

const METHODS: [&str; 4] = ["open bench", "mist", "bottom heat", "mist and heat"];

/// Invented trials: method, started, succeeded.
const TRIALS: [&[(usize, u32, u32)]; 7] = [
    &[(0, 24, 4), (1, 24, 9)],
    &[(0, 16, 2), (2, 16, 5), (3, 16, 9)],
    &[(1, 20, 7), (3, 20, 12)],
    &[(2, 12, 3), (3, 12, 6)],
    &[(0, 30, 7), (1, 30, 15), (2, 30, 11)],
    &[(1, 16, 5), (2, 16, 6)],
    &[(0, 20, 3), (3, 20, 11)],
];

fn trials() -> Vec<NetworkTrial> {
    let arm = |&(method, started, succeeded): &(usize, u32, u32)| TrialArm {
        method,
        count: Count { started, succeeded },
    };
    TRIALS.iter().map(|arms| NetworkTrial { arms: arms.iter().map(arm).collect() }).collect()
}

/// The same as a table; each trial is a grower's own, and each arm stood in three pots.
fn table() -> Result<ArmTable, ArmTableError> {
    let row = |trial: usize, &(method, started, succeeded): &(usize, u32, u32)| CountedArm {
        grower: trial,
        trial,
        levels: vec![Some(method)],
        count: Count { started, succeeded },
        replicates: 3,
    };
    let rows =
        TRIALS.iter().enumerate().flat_map(|(trial, arms)| arms.iter().map(move |arm| row(trial, arm)));
    ArmTable::new(vec![METHODS.len()], vec![1.0; TRIALS.len()], rows.collect())
}

fn shrunk() -> Result<(), Box<dyn std::error::Error>> {
    let fit = shrunk::fit(&table()?, 0, &ShrunkOptions::default())?;
    println!("Two by two, shrunk towards no difference: log odds ratio, P(first better), verdict");
    for pair in &fit.pairs {
        let (first, second) = (METHODS[pair.first], METHODS[pair.second]);
        let figures = pair.estimate.map_or_else(String::new, |estimate| {
            format!("{:>6.2} {:.3}", estimate.log_or_mean, estimate.prob_first_better)
        });
        println!("  {first:<13}{second:<14}{figures} {}", pair.verdict.word());
    }
    let leader = fit.leader(&[0, 1, 2, 3]).map_or("no method stands out", |level| METHODS[level]);
    println!("  leader: {leader}; ranks {:?}", fit.ranks(METHODS.len()));
    if let Some(pair) = fit.pair(1, 3) {
        println!("  {} trials held mist, with and without heat, side by side", pair.trials);
    }
    Ok(())
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let trials = trials();
    let common = common_effect(4, &trials)?;
    let random = random_effects(4, &trials, true)?;
    let exact = binomial_common(4, &trials).ok_or("the methods are not connected")?;
    let bayes = network::bayes(4, &trials, &NetworkOptions::default())?;
    println!("Log odds ratio against the open bench: common, random, exact, weak priors");
    for (k, method) in METHODS.iter().enumerate().skip(1) {
        let (c, r, e) = (common.log_or[k - 1], random.log_or[k - 1], exact[k - 1].0);
        println!("  {method:<15}{c:>7.2}{r:>7.2}{e:>7.2}{:>7.2}", bayes.d_mean[k]);
    }
    println!(
        "All equal? {:.4?}; Q: p = {:.2}",
        wald_statistic(&random.log_or, &random.covariance),
        common.q_p()
    );
    let ranks = rank_probabilities(&random.log_or, &random.covariance).ok_or("singular")?;
    let scores = p_scores(&random.log_or, &random.covariance);
    for (k, method) in METHODS.iter().enumerate() {
        println!("  {method:<15}best {:.2}, P-score {:.2}", ranks.probability[k][0], scores[k]);
    }
    let parts = dersimonian_laird(4, &trials)?;
    println!("Inconsistency: Q {:.2}, p = {:.2}", parts.q_inconsistency, parts.q_inconsistency_p);
    let (within, between, _) = inconsistency(4, &trials)?;
    println!("  variances: of trials {within:.3}, of designs {between:.3}");
    if let Some(split) = split_nodes(&random, &trials, 3, 0) {
        println!(
            "Mist and heat against the open bench: direct {:.2}, indirect {:.2?}",
            split.direct, split.indirect
        );
    }
    shrunk()
}

#[test]
fn it_runs() {
    main().expect("the methods are connected");
    // Without spread between trials both normal models are one.
    let (common, random) =
        (common_effect(4, &trials()).expect("fits"), random_effects(4, &trials(), true).expect("fits"));
    assert!(random.tau2 > 0.0 || (common.log_or[0] - random.log_or[0]).abs() < 1e-6);
}
