//! Three growers: the default model beside maximum likelihood and the normal model that readers of meta-analyses know.
//!
//! `cargo run -p propagule-analysis --example three_growers`
#![expect(clippy::print_stdout, reason = "the table is printed")]

use propagule_analysis::meta::{self, Correction, Effect, MetaError, TauMethod};
use propagule_analysis::mixed::{self, Group, MixedError, Observation};
use propagule_analysis::{Count, Grower, rate};

/// Invented: trials of three growers.
const GROWERS: [&[(u32, u32)]; 3] = [&[(12, 3), (16, 5)], &[(20, 9), (24, 14)], &[(16, 1), (10, 0)]];

fn growers() -> Vec<Grower> {
    let count = |&(started, succeeded): &(u32, u32)| Count { started, succeeded };
    GROWERS.iter().map(|trials| Grower::new(trials.iter().map(count).collect(), 1.0)).collect()
}

fn default_model(growers: &[Grower]) -> Result<(), Box<dyn std::error::Error>> {
    let fit = rate::fit(growers, &rate::Options::default())?;
    let [low, middle, high] = fit.summary().average_grower_rate_q.map(|rate| 100.0 * rate);
    println!("Average over growers: {middle:.0} % ({low:.0} to {high:.0})");
    println!("  log odds and spread between growers, densities:");
    for k in 0..6 {
        let (mu, spread) = (-3.0 + f64::from(k), 0.1 + 0.4 * f64::from(k));
        let densities = (fit.centre_density(mu), fit.grower_spread_density(spread));
        println!("  {mu:>5.1} {:.3}    {spread:.1} {:.3}", densities.0, densities.1);
    }
    println!("  5 of 30 at a new grower's: {:.2}", fit.predictive_at_least(5, 30));
    Ok(())
}

/// Growers and their trials as random effects: the grower's own column, then one a trial.
fn nested(growers: &[Grower]) -> Vec<Group> {
    let group = |grower: &Grower| {
        let trials = grower.trials.len();
        let observation = |(k, count): (usize, &Count)| Observation {
            succeeded: f64::from(count.succeeded),
            started: f64::from(count.started),
            offset: 0.0,
            fixed: vec![1.0],
            random: (0..=trials)
                .map(|column| if column == 0 || column == k + 1 { 1.0 } else { 0.0 })
                .collect(),
        };
        Group {
            observations: grower.trials.iter().enumerate().map(observation).collect(),
            spreads: (0..=trials).map(|column| usize::from(column > 0)).collect(),
        }
    };
    growers.iter().map(group).collect()
}

fn maximum_likelihood(growers: &[Grower]) -> Result<(), MixedError> {
    let best = mixed::maximum_likelihood_nested(growers)?;
    println!(
        "Maximum likelihood: {:.2}, growers {:.2}, trials {:.2}",
        best.mu, best.sd_grower, best.sd_trial
    );
    let laplace = mixed::fit_mixed(&nested(growers), 2, 1)?;
    println!("  by Laplace's method {:.2} (se {:.2})", laplace.beta[0], laplace.se[0]);
    let reweighted = mixed::fit_reweighted(&nested(growers), 2)?;
    println!("  by reweighted least squares {:.2} (se {:.2})", reweighted.beta[0], reweighted.se[0]);
    Ok(())
}

fn counts() -> Vec<Count> {
    growers().into_iter().flat_map(|grower| grower.trials).collect()
}

fn normal_model(counts: &[Count]) -> Result<(), MetaError> {
    let effects: Vec<Effect> =
        counts.iter().map(|count| meta::logit_rate(*count, Correction::WhereZero)).collect();
    let fit = meta::fit(&effects, TauMethod::Restricted)?;
    println!("Normal model of trials: {:.2} {:.2?}, spread² {:.2}", fit.estimate(), fit.wald(), fit.tau2);
    println!(
        "  a new trial: {:.2?} {:.2?} {:.2?}",
        fit.prediction_z(),
        fit.prediction_knapp_hartung(),
        fit.prediction_higgins()
    );
    let (low, high) = fit.tau2_q_profile(100.0)?;
    println!("  spread² {low:.2} to {high:.2}, I² {:.0} to {:.0} %", fit.i2_at(low), fit.i2_at(high));
    println!("  Q there: {:.2} {:.2}", fit.generalised_q(low)?, fit.generalised_q(high)?);
    for (rest, case) in meta::leave_one_out(&effects, TauMethod::Restricted)?
        .iter()
        .zip(meta::influence(&effects, TauMethod::Restricted)?)
    {
        println!("  without it {:.2}; Cook's distance {:.2}", rest.estimate(), case.cook);
    }
    // The second trial of a grower is a year later.
    let year: Vec<Vec<f64>> = (0..effects.len()).map(|k| vec![(k % 2) as f64]).collect();
    let by_year = meta::regress(&effects, &year, TauMethod::Restricted)?;
    println!(
        "  a year later {:+.2} (variance {:.2}), R² {:.0?}",
        by_year.beta[1],
        by_year.covariance(1, 1),
        by_year.r2(&fit)
    );
    small_trials(counts, &effects);
    double_arcsine(counts)
}

fn small_trials(counts: &[Count], effects: &[Effect]) {
    let rank = meta::rank_test(effects);
    println!("  rank correlation of estimates and variances {:.2} (p {:.2})", rank.tau, rank.p);
    let size: Vec<f64> = counts.iter().map(|count| 1.0 / f64::from(count.started)).collect();
    let (y, weights): (Vec<f64>, Vec<f64>) = effects.iter().map(|e| (e.estimate, 1.0 / e.variance)).unzip();
    println!(
        "  line on 1/n: p {:.2}, by z {:.2}",
        meta::weighted_line(&size, &y, &weights).p,
        meta::normal_p(1.5)
    );
}

fn double_arcsine(counts: &[Count]) -> Result<(), MetaError> {
    let effects: Vec<Effect> = counts.iter().map(|count| meta::freeman_tukey(*count)).collect();
    // A threshold as loose as 1e-5 is what some programs stop at.
    let fit = meta::fit_until(&effects, TauMethod::Restricted, 1e-5)?;
    let rate = meta::freeman_tukey_rate(fit.estimate(), meta::harmonic_mean_started(counts));
    println!("Double arcsine, back by the harmonic mean of pieces: {:.0} %", 100.0 * rate);
    Ok(())
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    default_model(&growers())?;
    maximum_likelihood(&growers())?;
    normal_model(&counts())?;
    Ok(())
}

#[test]
fn it_runs() {
    main().expect("three growers are enough");
    let laplace = mixed::fit_mixed(&nested(&growers()), 2, 1).expect("a maximum").beta[0];
    let exact = mixed::maximum_likelihood_nested(&growers()).expect("a maximum").mu;
    assert!((laplace - exact).abs() < 0.15, "{laplace} {exact}");
}
