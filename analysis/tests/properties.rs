//! What must hold of the default model for any counts; of the others see `properties_methods.rs` and `properties_counts.rs`.

use proptest::prelude::*;

use propagule_analysis::rate::{self, Levels, Options, RateFit};
use propagule_analysis::{Count, Grower};

fn count(most: u32) -> impl Strategy<Value = Count> {
    (1..=most)
        .prop_flat_map(|n| (Just(n), 0..=n))
        .prop_map(|(started, succeeded)| Count { started, succeeded })
}

fn growers(most: u32, trials: usize) -> impl Strategy<Value = Vec<Grower>> {
    let grower = (prop::collection::vec(count(most), 1..=trials), 0.0..=1.0f64);
    prop::collection::vec(grower.prop_map(|(trials, weight)| Grower { trials, weight }), 0..8)
}

fn fit(growers: &[Grower], levels: Levels) -> RateFit {
    rate::fit(growers, &Options { levels, ..Options::default() }).expect("the counts are possible")
}

/// Rates and spreads of a fit in one list.
fn figures(fit: &RateFit) -> Vec<f64> {
    let s = fit.summary();
    let mut out = vec![s.mu_mean, s.mu_sd, s.tau_mean, s.average_grower_rate_mean, s.new_grower_rate_sd];
    out.extend([s.log_evidence, s.prob_new_grower_above_10pct, s.prob_new_grower_above_50pct]);
    for q in [s.mu_q, s.tau_q, s.average_grower_rate_q, s.new_grower_rate_q] {
        out.extend(q);
    }
    out
}

fn assert_close(a: &[f64], b: &[f64], tolerance: f64) {
    for (k, (x, y)) in a.iter().zip(b).enumerate() {
        assert!((x - y).abs() <= tolerance * (1.0 + y.abs()), "figure {k}: {x} against {y}");
    }
}

/// Everything finite, rates inside 0..=1, quantiles in order.
fn assert_sound(fit: &RateFit) {
    let values = figures(fit);
    assert!(values.iter().all(|v| v.is_finite()), "{values:?}");
    let s = fit.summary();
    for q in [s.typical_grower_rate_q, s.average_grower_rate_q, s.new_grower_rate_q] {
        assert!(0.0 <= q[0] && q[0] <= q[1] && q[1] <= q[2] && q[2] <= 1.0, "{q:?}");
    }
    assert!(s.tau_q[0] > 0.0 && s.tau_q[0] <= s.tau_q[1] && s.tau_q[1] <= s.tau_q[2]);
    let total: f64 = fit.predictive(15).iter().sum();
    assert!((total - 1.0).abs() < 1e-6, "predictive probabilities sum to {total}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn order_does_not_matter(growers in growers(60, 3), levels in prop::sample::select(vec![Levels::Two, Levels::Three])) {
        let mut turned = growers.clone();
        turned.reverse();
        for grower in &mut turned {
            grower.trials.reverse();
        }
        assert_close(&figures(&fit(&turned, levels)), &figures(&fit(&growers, levels)), 1e-12);
    }

    #[test]
    fn failures_mirror_successes(growers in growers(60, 2), levels in prop::sample::select(vec![Levels::Two, Levels::Three])) {
        let mirrored: Vec<Grower> = growers
            .iter()
            .map(|g| {
                let turn = |c: &Count| Count { started: c.started, succeeded: c.failed() };
                Grower { trials: g.trials.iter().map(turn).collect(), weight: g.weight }
            })
            .collect();
        let (a, b) = (fit(&growers, levels), fit(&mirrored, levels));
        let (a, b) = (a.summary(), b.summary());
        let turned = |q: [f64; 3]| [1.0 - q[2], 1.0 - q[1], 1.0 - q[0]];
        assert_close(&a.average_grower_rate_q, &turned(b.average_grower_rate_q), 1e-5);
        assert_close(&a.new_grower_rate_q, &turned(b.new_grower_rate_q), 1e-5);
        assert_close(&[a.mu_mean, a.mu_sd, a.tau_mean], &[-b.mu_mean, b.mu_sd, b.tau_mean], 1e-5);
    }

    #[test]
    fn weight_zero_is_absence(growers in growers(60, 2), extra in count(60)) {
        let mut more = growers.clone();
        more.push(Grower { trials: vec![extra], weight: 0.0 });
        assert_close(&figures(&fit(&more, Levels::Auto)), &figures(&fit(&growers, Levels::Auto)), 1e-12);
    }

    // A power on a grower's likelihood: powers add up, and weight 1 is the likelihood itself.
    #[test]
    fn halves_of_a_grower_equal_the_whole(growers in growers(60, 1), one in count(60), share in 0.0..=1.0f64) {
        let with = |weights: &[f64]| {
            let mut all = growers.clone();
            all.extend(weights.iter().map(|weight| Grower { trials: vec![one], weight: *weight }));
            figures(&fit(&all, Levels::Two))
        };
        assert_close(&with(&[share, 1.0 - share]), &with(&[1.0]), 1e-9);
    }

    #[test]
    fn splitting_a_growers_trials_over_several_narrows_the_average(one in count(40), trials in 2usize..8) {
        let together = vec![Grower::new(vec![one; trials], 1.0)];
        let apart = vec![Grower::new(vec![one], 1.0); trials];
        let width = |growers: &[Grower]| {
            let q = fit(growers, Levels::Two).summary().average_grower_rate_q;
            q[2] - q[0]
        };
        prop_assert!(width(&apart) < width(&together), "{} {}", width(&apart), width(&together));
    }

    #[test]
    fn two_arms_of_one_trial_equal_their_sum(a in count(40), b in count(40), other in count(40)) {
        let together = Count { started: a.started + b.started, succeeded: a.succeeded + b.succeeded };
        let of = |trials: Vec<Count>| {
            let growers = [Grower::new(trials, 1.0), Grower::new(vec![other], 1.0)];
            fit(&growers, Levels::Two)
        };
        let (apart, summed) = (of(vec![a, b]), of(vec![together]));
        // Only the number of ways, and with it the evidence, differs.
        prop_assert!((apart.summary().mu_mean - summed.summary().mu_mean).abs() < 1e-9);
        assert_close(&apart.summary().average_grower_rate_q, &summed.summary().average_grower_rate_q, 1e-9);
    }

    // For growers who agree. Where they differ, more pieces can show that they really do, which widens the interval: one
    // grower with 1 of 1 and one with 0 of 1 says less of spread than 10 of 10 and 0 of 10.
    #[test]
    fn more_pieces_never_widen(one in count(20), growers in 1usize..6) {
        let counts = vec![one; growers];
        let of = |times: u32| {
            let many = |c: &Count| Count { started: c.started * times, succeeded: c.succeeded * times };
            let growers: Vec<Grower> = counts.iter().map(|c| Grower::new(vec![many(c)], 1.0)).collect();
            fit(&growers, Levels::Two).summary().typical_grower_rate_q
        };
        let width = |q: [f64; 3]| q[2] - q[0];
        prop_assert!(width(of(10)) <= width(of(1)) + 1e-9, "{:?} {:?}", of(1), of(10));
    }

    #[test]
    fn any_counts_are_answered(growers in growers(10_000, 2)) {
        assert_sound(&fit(&growers, Levels::Two));
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 6, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn three_levels_answer_any_counts(growers in growers(10_000, 3)) {
        assert_sound(&fit(&growers, Levels::Three));
    }
}

#[test]
fn any_number_of_growers_is_answered() {
    let count = |k: u32| Count { started: 1 + k * k % 10_000, succeeded: (1 + k * k % 10_000) * (k % 5) / 9 };
    let grower = |k: u32| Grower { trials: vec![count(k), count(7 * k)], weight: f64::from(k % 11) / 10.0 };
    let growers: Vec<Grower> = (0..2_000).map(grower).collect();
    assert_sound(&fit(&growers, Levels::Two));
}

#[test]
fn the_prior_is_the_answer_without_evidence() {
    let empty = fit(&[], Levels::Auto);
    let s = empty.summary();
    // mu ~ Logistic(0, 1): variance pi²/3, quartiles known; the typical rate is uniform.
    assert!(s.mu_mean.abs() < 1e-6 && (s.mu_sd - (std::f64::consts::PI.powi(2) / 3.0).sqrt()).abs() < 1e-4);
    assert_close(&s.typical_grower_rate_q, &[0.025, 0.5, 0.975], 1e-5);
    // Half-normal: mean sqrt(2/pi).
    assert!((s.tau_mean - (2.0 / std::f64::consts::PI).sqrt()).abs() < 1e-4, "{}", s.tau_mean);
}
