//! What must hold whatever is known.

use super::*;
use crate::rate::{self, Levels};
use crate::{Count, FitError, Grower};

fn arm(levels: &[usize], started: u32, succeeded: u32) -> FacetArm {
    FacetArm { levels: levels.to_vec(), count: Count { started, succeeded } }
}

fn grower(trials: Vec<Vec<FacetArm>>) -> FacetGrower {
    FacetGrower { trials, weight: 1.0 }
}

fn fitted(facets: &[usize], growers: &[FacetGrower]) -> FacetFit {
    let facets: Vec<Facet> = facets.iter().map(|levels| Facet::new(*levels)).collect();
    fit(&facets, growers, &Options::default()).expect("the arms are possible")
}

#[test]
fn without_evidence_the_prior_answers() {
    let fit = fitted(&[2, 3], &[]);
    let effect = &fit.effects[1][2];
    assert!(effect.log_or_mean.abs() < 1e-9 && (effect.log_or_sd - 2.82).abs() < 1e-5);
    assert_eq!(effect.standing, Standing::NeverTried);
    assert!((fit.better[1][0][2] - 0.5).abs() < 1e-9);
    // Half-normal: mean root of 2 / pi.
    assert!((fit.grower_spread_mean - 0.797_885).abs() < 1e-3, "{}", fit.grower_spread_mean);
    let rate = fit.predict(&[1, 1]).expect("the levels exist");
    assert!(rate.rests_on_prior && !rate.tried() && (rate.average_grower_rate_mean - 0.5).abs() < 1e-9);
}

#[test]
fn without_facets_it_is_the_default_model() {
    let counts = [(20, 4), (24, 9), (15, 2), (30, 14), (12, 0)];
    let arms = counts.map(|(n, r)| grower(vec![vec![arm(&[], n, r)]]));
    let got = fitted(&[], &arms).predict(&[]).expect("no level is needed");
    let growers = counts.map(|(started, succeeded)| Grower::new(vec![Count { started, succeeded }], 1.0));
    let want = rate::fit(&growers, &rate::Options::default()).expect("the counts are possible");
    let want = want.summary();
    assert!((got.average_grower_rate_mean - want.average_grower_rate_mean).abs() < 0.005);
    let pairs = [
        (got.typical_grower_rate_q, want.typical_grower_rate_q),
        (got.average_grower_rate_q, want.average_grower_rate_q),
        (got.new_grower_rate_q, want.new_grower_rate_q),
    ];
    for (got, want) in pairs {
        assert!(got.iter().zip(want).all(|(a, b)| (a - b).abs() < 0.015), "{got:?} against {want:?}");
    }
}

#[test]
fn names_what_was_always_tried_together() {
    // Stage 1 always came with humidity 1; auxin varies freely.
    let growers = vec![
        grower(vec![vec![arm(&[0, 0, 0], 20, 5), arm(&[0, 0, 1], 20, 9)]]),
        grower(vec![vec![arm(&[1, 1, 0], 20, 2), arm(&[0, 0, 1], 20, 11)]]),
        grower(vec![vec![arm(&[1, 1, 1], 20, 6)]]),
    ];
    let fit = fitted(&[2, 2, 3], &growers);
    let [stage, humidity] = [0, 1].map(|facet| FacetLevel { facet, level: 1 });
    assert_eq!(fit.aliases, vec![vec![stage, humidity]]);
    assert_eq!(fit.effects[0][1].standing, Standing::Aliased);
    assert_eq!(fit.effects[1][1].standing, Standing::Aliased);
    assert_eq!(fit.effects[2].iter().filter(|effect| effect.standing == Standing::WithinGrowers).count(), 1);
    assert_eq!(fit.effects[2][2].standing, Standing::NeverTried);
    // The prior shares the effect of an aliased pair out in equal parts.
    assert!((fit.effects[0][1].log_or_mean - fit.effects[1][1].log_or_mean).abs() < 1e-9);
    let rests = |levels: &[usize]| fit.predict(levels).expect("the levels exist").rests_on_prior;
    assert!(rests(&[1, 0, 0]) && rests(&[0, 0, 2]) && !rests(&[1, 1, 1]));
}

#[test]
fn tells_growers_own_comparisons_from_those_between_growers() {
    let growers = vec![
        grower(vec![vec![arm(&[0, 0], 20, 5), arm(&[1, 0], 20, 9)]]),
        grower(vec![vec![arm(&[0, 1], 20, 2)], vec![arm(&[1, 1], 20, 4)]]),
    ];
    let fit = fitted(&[2, 2], &growers);
    assert_eq!(fit.effects[0][1].standing, Standing::WithinGrowers);
    assert_eq!((fit.effects[0][1].side_by_side_trials, fit.effects[0][1].trials), (1, 2));
    assert_eq!(fit.effects[1][1].standing, Standing::BetweenGrowers);
    assert!(fit.aliases.is_empty());
    assert_eq!(fit.references(), [0, 0]);
}

#[test]
fn order_and_splitting_of_equal_arms_do_not_matter() {
    let given = vec![
        grower(vec![vec![arm(&[0, 0], 20, 5), arm(&[1, 0], 20, 9)], vec![arm(&[0, 1], 11, 2)]]),
        grower(vec![vec![arm(&[0, 1], 20, 2)], vec![arm(&[1, 1], 20, 4), arm(&[0, 1], 7, 0)]]),
    ];
    let turned: Vec<FacetGrower> = given.iter().rev().cloned().map(turned).collect();
    let (a, b) = (fitted(&[2, 2], &given), fitted(&[2, 2], &turned));
    assert_eq!(a.model, Model::ThreeLevel);
    for (x, y) in a.effects.iter().flatten().zip(b.effects.iter().flatten()) {
        assert!((x.log_or_mean - y.log_or_mean).abs() < 1e-10 && (x.log_or_sd - y.log_or_sd).abs() < 1e-10);
    }
}

/// Trials and arms in reverse order, the first arm in two halves, and a grower of no weight.
fn turned(mut grower: FacetGrower) -> FacetGrower {
    grower.trials.reverse();
    for trial in &mut grower.trials {
        trial.reverse();
        let count = trial[0].count;
        let part = Count { started: count.started / 2, succeeded: count.succeeded / 2 };
        trial[0].count =
            Count { started: count.started - part.started, succeeded: count.succeeded - part.succeeded };
        trial.push(FacetArm { levels: trial[0].levels.clone(), count: part });
    }
    grower
}

#[test]
fn weight_zero_is_absence() {
    let one = grower(vec![vec![arm(&[0], 20, 5), arm(&[1], 20, 9)]]);
    let none = FacetGrower { trials: vec![vec![arm(&[1], 500, 500)]], weight: 0.0 };
    let (with, without) = (fitted(&[2], &[one.clone(), none]), fitted(&[2], &[one]));
    assert_eq!(with.effects, without.effects);
}

#[test]
fn a_rising_weight_moves_towards_the_grower() {
    let mean = |weight: f64| {
        let first = grower(vec![vec![arm(&[0], 30, 10), arm(&[1], 30, 10)]]);
        let second = FacetGrower { trials: vec![vec![arm(&[0], 30, 5), arm(&[1], 30, 20)]], weight };
        fitted(&[2], &[first, second]).effects[0][1].log_or_mean
    };
    let means = [0.0, 0.3, 0.7, 1.0].map(mean);
    assert!(means.windows(2).all(|pair| pair[0] < pair[1]), "{means:?}");
}

#[test]
fn refuses_what_cannot_be() {
    let two = [Facet::new(2)];
    let of = |arms: FacetArm, weight: f64| {
        let growers = [FacetGrower { trials: vec![vec![arms]], weight }];
        fit(&two, &growers, &Options::default()).err()
    };
    assert_eq!(of(arm(&[2], 5, 1), 1.0), Some(FacetError::Level { facet: 0, level: 2, levels: 2 }));
    assert_eq!(of(arm(&[0, 0], 5, 1), 1.0), Some(FacetError::Shape { given: 2, facets: 1 }));
    assert!(matches!(of(arm(&[0], 5, 6), 1.0), Some(FacetError::Fit(FitError::Count { grower: 0, .. }))));
    assert!(matches!(of(arm(&[0], 5, 1), 1.5), Some(FacetError::Fit(FitError::Weight { .. }))));
    assert!(matches!(of(arm(&[0], 5, 1), f64::NAN), Some(FacetError::Fit(FitError::Weight { .. }))));
    let many = [Facet::new(150), Facet::new(51)];
    let refused = fit(&many, &[], &Options::default()).err();
    assert_eq!(refused, Some(FacetError::TooManyLevels { levels: 201, limit: 200 }));
    let scale = Options { levels: Levels::Two, log_or_sd: 0.0, ..Options::default() };
    assert!(matches!(fit(&two, &[], &scale).err(), Some(FacetError::Fit(FitError::Scale { .. }))));
    assert!(matches!(fit(&[Facet::new(0)], &[], &Options::default()).err(), Some(FacetError::Level { .. })));
}
