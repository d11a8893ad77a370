//! What must hold of intervals, tests and maximum likelihood for any counts.

use proptest::prelude::*;

use propagule_analysis::exact::{self, BarnardVariance};
use propagule_analysis::{Count, Grower, compare, interval, mixed, overdispersion, rate};

fn count(most: u32) -> impl Strategy<Value = Count> {
    (1..=most)
        .prop_flat_map(|n| (Just(n), 0..=n))
        .prop_map(|(started, succeeded)| Count { started, succeeded })
}

fn mirrored(count: Count) -> Count {
    Count { started: count.started, succeeded: count.failed() }
}

type Limits = fn(Count, f64) -> (f64, f64);
/// What limits must lie around.
type Middle = fn(Count) -> f64;

/// Each with what it must hold: the share seen, or where a uniform prior pulls it, as for 0 of 1.
const INTERVALS: [(Limits, Middle); 5] = [
    (interval::clopper_pearson, share),
    (interval::wilson, share),
    (interval::jeffreys, share),
    (interval::uniform_bayes, |count| (f64::from(count.succeeded) + 1.0) / (f64::from(count.started) + 2.0)),
    (interval::mid_p, share),
];

fn share(count: Count) -> f64 {
    f64::from(count.succeeded) / f64::from(count.started)
}

fn is_probability(p: f64) -> bool {
    (0.0..=1.0 + 1e-9).contains(&p)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn intervals_hold_the_share_seen_and_mirror(one in count(10_000)) {
        for (limits, middle) in INTERVALS {
            let held = middle(one);
            let (low, high) = limits(one, 0.95);
            let (other_low, other_high) = limits(mirrored(one), 0.95);
            prop_assert!(0.0 <= low && high <= 1.0 && low < high, "{low} {high}");
            prop_assert!(low <= held + 1e-9 && held - 1e-9 <= high, "{low} {held} {high}");
            prop_assert!((low - (1.0 - other_high)).abs() < 1e-6 && (high - (1.0 - other_low)).abs() < 1e-6);
        }
    }

    #[test]
    fn fishers_test_does_not_depend_on_which_arm_is_first(a in count(10_000), b in count(10_000)) {
        let p = exact::fisher_two_sided(a, b);
        prop_assert!(is_probability(p), "{p}");
        prop_assert!((p - exact::fisher_two_sided(b, a)).abs() < 1e-9);
        prop_assert!((p - exact::fisher_two_sided(mirrored(a), mirrored(b))).abs() < 1e-9);
    }

    #[test]
    fn differences_and_odds_are_in_order(a in count(10_000), b in count(10_000)) {
        let (low, high) = exact::newcombe(a, b, 0.95);
        prop_assert!(-1.0 <= low && low <= high && high <= 1.0, "{low} {high}");
        if let Some((low, high)) = exact::miettinen_nurminen(a, b, 0.95) {
            prop_assert!((-1.0..=high).contains(&low) && high <= 1.0, "{low} {high}");
        }
        if let Some(odds) = exact::conditional_odds_ratio(a, b, 0.95) {
            prop_assert!(0.0 <= odds.low && odds.low <= odds.estimate && odds.estimate <= odds.high, "{odds:?}");
        }
    }

    #[test]
    fn replicates_are_answered(replicates in prop::collection::vec(count(10_000), 0..8)) {
        if let Some(fit) = overdispersion::beta_binomial(&replicates) {
            prop_assert!(is_probability(fit.mu) && is_probability(fit.rho), "{fit:?}");
        }
        if let Some(spread) = overdispersion::dispersion(&replicates) {
            prop_assert!(!format!("{spread:?}").contains("NaN"), "{spread:?}");
        }
    }

    #[test]
    fn maximum_likelihood_answers_or_refuses(counts in prop::collection::vec(count(10_000), 0..8)) {
        if let Ok(fit) = mixed::maximum_likelihood(&counts) {
            prop_assert!(fit.mu.is_finite() && fit.tau.is_finite() && fit.tau >= 0.0, "{} {}", fit.mu, fit.tau);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 16, failure_persistence: None, ..ProptestConfig::default() })]

    // Unconditional tests go through all tables, so their arms stay small.
    #[test]
    fn boschloo_is_never_weaker_than_fisher(a in count(40), b in count(40)) {
        let one_sided = exact::fisher_first_greater(a, b).min(exact::fisher_first_greater(b, a));
        if let Some(p) = exact::boschloo(a, b) {
            prop_assert!(is_probability(p) && p <= 2.0 * one_sided + 1e-9, "{p} {one_sided}");
        }
        for variance in [BarnardVariance::Pooled, BarnardVariance::Unpooled] {
            prop_assert!(exact::barnard(a, b, variance, 1e-12).is_none_or(is_probability));
        }
    }

    #[test]
    fn a_comparisons_chances_belong_together(peers in prop::collection::vec((count(200), 0.0..=1.0f64), 0..6), own in count(200)) {
        let growers: Vec<Grower> = peers.into_iter().map(|(one, weight)| Grower { trials: vec![one], weight }).collect();
        let seen = compare::against(&growers, own, &rate::Options::default()).expect("the counts are possible");
        let chances = format!("{seen:?}");
        prop_assert!(!chances.contains("NaN") && !chances.contains("inf"), "{chances}");
    }
}
