//! What holds of any trial.

use proptest::prelude::*;

use propagule_analysis::Pair;
use propagule_analysis::verdict::{Comparison, Trial, Verdict, judge, power_with_pots};
use propagule_analysis::{Count, exact};

use super::made::{by_piece, in_blocks, two};

fn pots() -> impl Strategy<Value = Vec<(u32, u32)>> {
    prop::collection::vec((1u32..14).prop_flat_map(|n| (0..=n, Just(n))), 1..6)
}

/// A trial of two arms under any design.
fn trials() -> impl Strategy<Value = Trial> {
    (pots(), pots(), 0..4u8).prop_map(|(a, b, kind)| match kind {
        0 => two(&a, &b),
        1 => in_blocks(two(&a, &b)),
        2 => by_piece(two(&a, &b)),
        _ => by_piece(in_blocks(two(&a, &b))),
    })
}

fn numbers(trial: &Trial) -> (Verdict, Comparison) {
    let pair = judge(trial).pairs.remove(0);
    (pair.verdict, pair.reading.expect("counted").comparison)
}

fn near(a: Option<f64>, b: Option<f64>) -> bool {
    match (a, b) {
        (Some(a), Some(b)) => (a - b).abs() < 1e-9,
        (a, b) => a.is_none() && b.is_none(),
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn probabilities_are_such_and_the_interval_agrees_with_the_verdict(trial in trials()) {
        let (verdict, found) = numbers(&trial);
        for p in [Some(found.p_exact), found.p_pots, found.p, Some(found.fisher_on_totals), found.boschloo()].into_iter().flatten() {
            prop_assert!((0.0..=1.0).contains(&p), "{p}");
        }
        if let Some([d, low, high]) = found.difference {
            prop_assert!(-1.0 <= low && low <= d && d <= high && high <= 1.0, "{low} {d} {high}");
        }
        if found.p.is_some() {
            prop_assert_eq!(found.difference.is_some_and(|[_, low, high]| low * high > 0.0), verdict == Verdict::Better);
            prop_assert!(found.p >= Some(found.p_exact));
            prop_assert!(found.phi >= Some(1.0));
        }
    }

    #[test]
    fn swapping_the_arms_mirrors_everything(trial in trials()) {
        let (verdict, found) = numbers(&trial);
        let mut turned = trial;
        turned.arms.reverse();
        let (other, mirrored) = numbers(&turned);
        prop_assert_eq!(verdict, other);
        prop_assert!(near(found.p, mirrored.p) && near(found.phi, mirrored.phi));
        if let (Some([d, low, high]), Some([e, least, most])) = (found.difference, mirrored.difference) {
            prop_assert!((d + e).abs() < 1e-9 && (low + most).abs() < 1e-7 && (high + least).abs() < 1e-7);
        }
        if let (Some(a), Some(b)) = (found.odds_ratio(), mirrored.odds_ratio()) {
            prop_assert!((a.estimate.ln() + b.estimate.ln()).abs() < 1e-6 || a.estimate == 0.0 || b.estimate == 0.0);
        }
    }

    #[test]
    fn the_order_of_pots_does_not_matter(trial in trials(), turns in 0..5usize) {
        let (verdict, found) = numbers(&trial);
        let mut turned = trial;
        for arm in &mut turned.arms {
            let by = turns % arm.units.len();
            arm.units.rotate_left(by);
        }
        let (other, again) = numbers(&turned);
        prop_assert_eq!(verdict, other);
        prop_assert!(near(found.p, again.p) && near(found.phi, again.phi));
    }

    #[test]
    fn a_block_in_which_nothing_or_everything_succeeded_leaves_the_exact_test_alone(
        (a, b) in (pots(), pots()), n in 1..9u32, all in any::<bool>(),
    ) {
        let plain = by_piece(in_blocks(two(&a, &b)));
        let mut more = plain.clone();
        for arm in &mut more.arms {
            let mut unit = arm.units[0].clone();
            (unit.started, unit.succeeded, unit.block) = (n, Some(if all { n } else { 0 }), Some("more".into()));
            arm.units.push(unit);
        }
        // The verdict itself may change: such a block pulls the mean difference towards 0, and its interval with it.
        let ((_, found), (_, again)) = (numbers(&plain), numbers(&more));
        prop_assert!((found.p_exact - again.p_exact).abs() < 1e-9);
        prop_assert!(near(found.p, again.p));
        let estimate = |c: &Comparison| c.odds_ratio().map(|odds| odds.estimate.ln().clamp(-50.0, 50.0));
        let is_near = match (estimate(&found), estimate(&again)) {
            (Some(x), Some(y)) => (x - y).abs() < 1e-6,
            (x, y) => x == y,
        };
        prop_assert!(is_near, "odds ratio");
    }

    #[test]
    fn one_stratum_is_fishers_test(a in 1..40u32, b in 1..40u32, x in 0..40u32, y in 0..40u32) {
        let (first, second) = (Count { started: a, succeeded: x.min(a) }, Count { started: b, succeeded: y.min(b) });
        let got = exact::stratified_two_sided(&[Pair { first, second }]);
        prop_assert!((got - exact::fisher_two_sided(first, second)).abs() < 1e-10);
    }

    #[test]
    fn correction_never_lowers_p_and_keeps_its_order(all in prop::collection::vec(0.0..1.0f64, 1..8)) {
        let holm = exact::holm(&all);
        for (i, p) in all.iter().enumerate() {
            prop_assert!(holm[i] >= *p && holm[i] <= 1.0);
            for (j, q) in all.iter().enumerate() {
                prop_assert!(p > q || holm[i] <= holm[j]);
            }
        }
    }
}

#[test]
fn strata_against_all_tables_one_by_one() {
    // Every pair of 2 × 2 tables with these margins, by hand: weights are products of binomial coefficients.
    let count = |succeeded, started| Count { started, succeeded };
    let strata =
        [Pair { first: count(3, 4), second: count(1, 3) }, Pair { first: count(2, 2), second: count(1, 4) }];
    // Margins: 4 of 7 in the first, 3 of 6 in the second. First: C(4,x) C(3,4-x) for x = 1..4 is 4, 18, 12, 1 of 35.
    // Second: C(2,y) C(4,3-y) for y = 0..2 is 4, 12, 4 of 20. Sums 1 to 6 have 16, 120, 280, 220, 60, 4 of 700; 5 was seen.
    let want = f64::from(16 + 60 + 4) / 700.0;
    assert!((exact::stratified_two_sided(&strata) - want).abs() < 1e-12);
}

#[test]
fn power_is_that_of_every_outcome_gone_through() {
    // Two pots of two pieces an arm, each of the 81 outcomes judged by the engine itself.
    let law = |p: f64| [(1.0 - p) * (1.0 - p), 2.0 * p * (1.0 - p), p * p];
    let (first, second) = (law(0.95), law(0.02));
    for pieces in [2u32] {
        let mut sum = 0.0;
        for place in 0..81u32 {
            let at = |k: u32| place / 3u32.pow(k) % 3;
            let trial = two(&[(at(0), pieces), (at(1), pieces)], &[(at(2), pieces), (at(3), pieces)]);
            let chance: f64 =
                (0..4).map(|k| if k < 2 { first[at(k) as usize] } else { second[at(k) as usize] }).product();
            sum += if numbers(&trial).0 == Verdict::Better { chance } else { 0.0 };
        }
        assert!((power_with_pots(2, pieces, 0.95, 0.02, 0.0) - sum).abs() < 1e-5, "{sum}");
    }
}

#[test]
fn power_falls_as_pots_differ_more_and_is_the_level_at_most_without_a_difference() {
    for (pots, pieces) in [(2, 10), (3, 4), (4, 10), (6, 6)] {
        let power = |icc| power_with_pots(pots, pieces, 0.2, 0.7, icc);
        assert!(power(0.0) > power(0.1) && power(0.1) > power(0.3), "{pots} × {pieces}");
        assert!(power_with_pots(pots, pieces, 0.3, 0.3, 0.0) < 0.05);
        assert!((power(0.1) - power_with_pots(pots, pieces, 0.7, 0.2, 0.1)).abs() < 1e-9);
    }
    assert!(power_with_pots(1, 12, 0.2, 0.8, 0.1) == 0.0);
    assert!(power_with_pots(40, 100, 0.2, 0.8, 0.1) > 0.99);
}
