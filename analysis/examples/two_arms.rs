//! Two arms side by side: tests, ratios and differences; several arms against a control; pots that differ.
//!
//! `cargo run -p propagule-analysis --example two_arms`
#![expect(clippy::print_stdout, reason = "the table is printed")]

use propagule_analysis::contrast::conditional_maximum;
use propagule_analysis::exact::{self, BarnardVariance};
use propagule_analysis::meta::{Correction, PairMeasure, breslow_day, mantel_haenszel, pair_effect, peto};
use propagule_analysis::overdispersion::{beta_binomial, quasi_binomial};
use propagule_analysis::{Count, Pair};

fn count(started: u32, succeeded: u32) -> Count {
    Count { started, succeeded }
}

/// Invented trials: wounded against not wounded.
fn pairs() -> Vec<Pair> {
    let pair = |first, second| Pair { first, second };
    vec![
        pair(count(24, 11), count(24, 4)),
        pair(count(12, 3), count(12, 1)),
        pair(count(20, 9), count(18, 6)),
        pair(count(10, 0), count(10, 0)),
    ]
}

fn one_pair(first: Count, second: Count) {
    println!("11 of 24 against 4 of 24:");
    println!("  Fisher, two-sided      p = {:.4}", exact::fisher_two_sided(first, second));
    println!("  Fisher, first greater  p = {:.4}", exact::fisher_first_greater(first, second));
    for variance in [BarnardVariance::Pooled, BarnardVariance::Unpooled] {
        println!("  Barnard, {variance:?}: {:.4?}", exact::barnard(first, second, variance, 1e-12));
    }
    println!("  Boschloo: {:.4?}", exact::boschloo(first, second));
    println!("  odds ratio: {:.3?}", exact::conditional_odds_ratio(first, second, 0.95));
    println!("  difference, Newcombe: {:.3?}", exact::newcombe(first, second, 0.95));
    println!("  difference, Miettinen and Nurminen: {:.3?}", exact::miettinen_nurminen(first, second, 0.95));
    let pair = Pair { first, second };
    for measure in [PairMeasure::OddsRatio, PairMeasure::RateRatio, PairMeasure::RateDifference] {
        let effect = pair_effect(pair, measure, Correction::WhereZero);
        println!("  {measure:?}: {:.3} (se {:.3})", effect.estimate, effect.variance.sqrt());
    }
}

fn several_trials() {
    let pairs = pairs();
    println!("Four such trials, the last without anything rooted:");
    let pooled = mantel_haenszel(&pairs, PairMeasure::OddsRatio);
    println!("  Mantel and Haenszel: log odds ratio {:.3} (se {:.3})", pooled.estimate, pooled.se);
    let pooled = peto(&pairs);
    println!("  Peto: {:.3} (se {:.3})", pooled.estimate, pooled.se);
    println!("  equal odds ratios, Breslow, Day and Tarone: p = {:.3}", breslow_day(&pairs).tarone_p);
    if let Ok(best) = conditional_maximum(&pairs) {
        println!("  exact conditional maximum: {:.3}, spread {:.3}", best.log_or, best.tau);
    }
}

fn several_arms() {
    let arms = [count(24, 11), count(24, 9), count(24, 13), count(24, 4)];
    println!("Four arms, one rate? {:.4?}", exact::k_arm_chi_squared(&arms).map(|test| test.p));
    let p: Vec<f64> = arms[..3].iter().map(|arm| exact::fisher_two_sided(*arm, arms[3])).collect();
    println!("  each against the last  {p:.3?}");
    println!("  Holm                   {:.3?}", exact::holm(&p));
    println!("  Hommel                 {:.3?}", exact::hommel(&p));
    println!("  Bonferroni             {:.3?}", exact::bonferroni(&p));
    println!("  Benjamini, Hochberg    {:.3?}", exact::benjamini_hochberg(&p));
}

fn pots() {
    let pots = [count(6, 5), count(6, 1), count(6, 4), count(6, 1), count(6, 0), count(6, 2)];
    if let Some(law) = beta_binomial(&pots) {
        println!("Six pots of six: rate {:.2}, correlation inside a pot {:.2}", law.mu, law.rho);
    }
    let wounded = |pot: usize| vec![1.0, if pot < 3 { 1.0 } else { 0.0 }];
    if let Some(fit) = quasi_binomial(&pots, &(0..6).map(wounded).collect::<Vec<_>>()) {
        println!(
            "  wounded: {:.2}, se {:.2}, with pots that differ {:.2}",
            fit.beta[1], fit.se_binomial[1], fit.se_quasi[1]
        );
    }
}

fn main() {
    one_pair(count(24, 11), count(24, 4));
    several_trials();
    several_arms();
    pots();
}

#[test]
fn it_runs() {
    main();
    // Both arms of the last trial are empty, so that it says nothing of the odds ratio.
    let all = conditional_maximum(&pairs()).expect("possible");
    let without = conditional_maximum(&pairs()[..3]).expect("possible");
    assert!(all.k_informative == 3 && (all.log_or - without.log_or).abs() < 1e-9);
}
