//! What must hold of contrasts, networks of methods and facets for any counts.

use proptest::prelude::*;

use propagule_analysis::Count;
use propagule_analysis::Pair;
use propagule_analysis::contrast::{self, ContrastFit};
use propagule_analysis::facets::{self, Facet, FacetArm, FacetFit, FacetGrower};
use propagule_analysis::network::{self, NetworkFit, NetworkOptions, NetworkTrial, TrialArm};

const METHODS: usize = 3;

fn count(most: u32) -> impl Strategy<Value = Count> {
    (1..=most)
        .prop_flat_map(|n| (Just(n), 0..=n))
        .prop_map(|(started, succeeded)| Count { started, succeeded })
}

fn pairs(most: u32) -> impl Strategy<Value = Vec<Pair>> {
    let pair = (count(most), count(most)).prop_map(|(first, second)| Pair { first, second });
    prop::collection::vec(pair, 0..6)
}

fn trials(most: u32) -> impl Strategy<Value = Vec<NetworkTrial>> {
    let trial = (0..METHODS, 1..=METHODS, prop::collection::vec(count(most), METHODS));
    let arms = |(first, arms, counts): (usize, usize, Vec<Count>)| NetworkTrial {
        arms: (0..arms).map(|k| TrialArm { method: (first + k) % METHODS, count: counts[k] }).collect(),
    };
    prop::collection::vec(trial.prop_map(arms), 0..6)
}

fn growers(most: u32) -> impl Strategy<Value = Vec<FacetGrower>> {
    let arm =
        (0..2usize, 0..3usize, count(most)).prop_map(|(a, b, count)| FacetArm { levels: vec![a, b], count });
    let trial = prop::collection::vec(arm, 0..4);
    let grower = (prop::collection::vec(trial, 0..3), 0.0..=1.0f64);
    prop::collection::vec(grower.prop_map(|(trials, weight)| FacetGrower { trials, weight }), 0..6)
}

fn mirrored(count: Count) -> Count {
    Count { started: count.started, succeeded: count.failed() }
}

fn fit_pairs(pairs: &[Pair]) -> ContrastFit {
    contrast::conditional(pairs, &contrast::Options::default()).expect("the counts are possible")
}

fn fit_network(trials: &[NetworkTrial]) -> NetworkFit {
    network::bayes(METHODS, trials, &NetworkOptions::default()).expect("the counts are possible")
}

/// References are fixed, so that mirroring does not change them.
fn fit_facets(growers: &[FacetGrower]) -> FacetFit {
    let facets = [2, 3].map(|levels| Facet { levels, reference: Some(0) });
    facets::fit(&facets, growers, &facets::Options::default()).expect("the arms are possible")
}

fn contrast_figures(fit: &ContrastFit) -> Vec<f64> {
    let mut out = vec![fit.log_or_mean, fit.log_or_sd, fit.tau_mean, fit.prob_first_better];
    out.extend(fit.log_or_q);
    out
}

fn network_figures(fit: &NetworkFit) -> Vec<f64> {
    let mut out = [&fit.d_mean[..], &fit.d_sd, &fit.d_q025, &fit.d_q975].concat();
    out.extend([fit.m_mean, fit.s_mean, fit.tau_mean]);
    out.extend(fit.prob_row_better_than_column.iter().flatten());
    out
}

fn facet_figures(fit: &FacetFit) -> Vec<f64> {
    let of = |e: &facets::LevelEffect| [e.log_or_mean, e.log_or_sd, e.prob_better_than_reference];
    let mut out: Vec<f64> = fit.effects.iter().flatten().flat_map(of).collect();
    out.push(fit.grower_spread_mean);
    out.extend(fit.predict(&[1, 2]).expect("the levels exist").average_grower_rate_q);
    out
}

fn assert_close(a: &[f64], b: &[f64], tolerance: f64) {
    assert_eq!(a.len(), b.len());
    for (k, (x, y)) in a.iter().zip(b).enumerate() {
        assert!((x - y).abs() <= tolerance * (1.0 + y.abs()), "figure {k}: {x} against {y}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn contrasts_mirror_when_arms_are_exchanged(pairs in pairs(40)) {
        let turned: Vec<Pair> = pairs.iter().map(|p| Pair { first: p.second, second: p.first }).collect();
        let (a, b) = (fit_pairs(&pairs), fit_pairs(&turned));
        assert_close(
            &[a.log_or_mean, a.log_or_sd, a.prob_first_better, a.tau_mean],
            &[-b.log_or_mean, b.log_or_sd, 1.0 - b.prob_first_better, b.tau_mean],
            1e-5,
        );
    }

    #[test]
    fn contrasts_mirror_when_failures_are_counted(pairs in pairs(40)) {
        let turned: Vec<Pair> =
            pairs.iter().map(|p| Pair { first: mirrored(p.first), second: mirrored(p.second) }).collect();
        let (a, b) = (fit_pairs(&pairs), fit_pairs(&turned));
        assert_close(&[a.log_or_mean, a.log_or_sd, a.tau_mean], &[-b.log_or_mean, b.log_or_sd, b.tau_mean], 1e-5);
    }

    #[test]
    fn contrasts_do_not_depend_on_order(pairs in pairs(60)) {
        let turned: Vec<Pair> = pairs.iter().rev().copied().collect();
        assert_close(&contrast_figures(&fit_pairs(&turned)), &contrast_figures(&fit_pairs(&pairs)), 1e-12);
    }

    #[test]
    fn facets_mirror_when_failures_are_counted(growers in growers(40)) {
        let mut turned = growers.clone();
        for arm in turned.iter_mut().flat_map(|g| &mut g.trials).flatten() {
            arm.count = mirrored(arm.count);
        }
        let (a, b) = (fit_facets(&growers), fit_facets(&turned));
        for (x, y) in a.effects.iter().flatten().zip(b.effects.iter().flatten()) {
            assert_close(&[x.log_or_mean, x.log_or_sd], &[-y.log_or_mean, y.log_or_sd], 1e-5);
        }
        let rate = |fit: &FacetFit| fit.predict(&[1, 0]).expect("the levels exist").average_grower_rate_q;
        let [low, middle, high] = rate(&b);
        assert_close(&rate(&a), &[1.0 - high, 1.0 - middle, 1.0 - low], 1e-5);
    }

    #[test]
    fn facets_do_not_depend_on_order(growers in growers(60)) {
        let mut turned = growers.clone();
        turned.reverse();
        for grower in &mut turned {
            grower.trials.reverse();
            for trial in &mut grower.trials {
                trial.reverse();
            }
        }
        assert_close(&facet_figures(&fit_facets(&turned)), &facet_figures(&fit_facets(&growers)), 1e-9);
    }

    #[test]
    fn facets_answer_any_counts(growers in growers(10_000)) {
        let fit = fit_facets(&growers);
        prop_assert!(facet_figures(&fit).iter().all(|v| v.is_finite()));
        for levels in [[0, 0], [0, 2], [1, 1]] {
            let rate = fit.predict(&levels).expect("the levels exist");
            for q in [rate.typical_grower_rate_q, rate.average_grower_rate_q, rate.new_grower_rate_q] {
                prop_assert!(0.0 <= q[0] && q[0] <= q[1] && q[1] <= q[2] && q[2] <= 1.0, "{q:?}");
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 8, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn contrasts_answer_any_counts(pairs in pairs(10_000)) {
        let fit = fit_pairs(&pairs);
        prop_assert!(contrast_figures(&fit).iter().all(|v| v.is_finite()), "{fit:?}");
        prop_assert!(fit.log_or_q[0] <= fit.log_or_q[1] && fit.log_or_q[1] <= fit.log_or_q[2]);
    }

    #[test]
    fn networks_do_not_depend_on_the_order_of_trials_and_arms(trials in trials(40)) {
        let mut turned = trials.clone();
        turned.reverse();
        for trial in &mut turned {
            trial.arms.reverse();
        }
        assert_close(&network_figures(&fit_network(&turned)), &network_figures(&fit_network(&trials)), 1e-9);
    }

    #[test]
    fn networks_mirror_when_failures_are_counted(trials in trials(40)) {
        let mut turned = trials.clone();
        for arm in turned.iter_mut().flat_map(|t| &mut t.arms) {
            arm.count = mirrored(arm.count);
        }
        let (a, b) = (fit_network(&trials), fit_network(&turned));
        let negative: Vec<f64> = b.d_mean.iter().map(|d| -d).collect();
        assert_close(&a.d_mean, &negative, 1e-5);
        assert_close(&a.d_sd, &b.d_sd, 1e-5);
        assert_close(&[a.m_mean, a.s_mean, a.tau_mean], &[-b.m_mean, b.s_mean, b.tau_mean], 1e-5);
    }

    #[test]
    fn networks_answer_any_counts(trials in trials(10_000)) {
        let fit = fit_network(&trials);
        prop_assert!(network_figures(&fit).iter().all(|v| v.is_finite()));
        for row in &fit.rank_prob {
            let total: f64 = row.iter().sum();
            prop_assert!((total - 1.0).abs() < 1e-6, "{total}");
        }
    }
}
