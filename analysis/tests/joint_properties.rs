//! What must hold of the joint model for any counts.

use propagule_analysis::Count;
use propagule_analysis::joint::{self, CellLaw, JointOptions};
use propagule_analysis::table::{ArmTable, CountedArm};
use proptest::prelude::*;

const GROWERS: usize = 3;
const LEVELS: [usize; 3] = [2, 3, 2];

/// Species 0 and 1 are of genus 0, species 2 of genus 1; trial k is grower k modulo the number of growers.
fn arms() -> impl Strategy<Value = Vec<CountedArm>> {
    let count = (1..25u32).prop_flat_map(|n| (Just(n), 0..=n));
    let arm = (0..5usize, 0..3usize, 0..2usize, count);
    let arm = arm.prop_map(|(trial, species, method, (started, succeeded))| CountedArm {
        grower: trial % GROWERS,
        trial,
        levels: vec![Some(species / 2), Some(species), Some(method)],
        count: Count { started, succeeded },
        replicates: 1,
    });
    prop::collection::vec(arm, 1..7)
}

/// Figures of all species and methods.
fn figures(arms: Vec<CountedArm>, weights: Vec<f64>) -> Vec<[f64; 5]> {
    let table = ArmTable::new(LEVELS.to_vec(), weights, arms).expect("valid");
    let fit = joint::fit(&table, &JointOptions::default()).expect("converges");
    let of = |law: CellLaw| {
        let (low, high) = (law.new_grower_rate(0.1), law.new_grower_rate(0.9));
        [law.log_odds_mean, law.log_odds_sd, law.average_rate_mean, low, high]
    };
    let cells = (0..3).flat_map(|species| (0..2).map(move |method| (species, method)));
    cells.map(|(species, method)| of(fit.cell(species / 2, species, method).expect("converges"))).collect()
}

fn close(a: &[[f64; 5]], b: &[[f64; 5]], slack: f64) -> bool {
    a.iter().flatten().zip(b.iter().flatten()).all(|(x, y)| (x - y).abs() < slack)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(6))]

    #[test]
    fn order_and_names_do_not_matter(arms in arms(), turn in 0..7usize) {
        let before = figures(arms.clone(), vec![1.0; GROWERS]);
        let mut turned = arms.clone();
        turned.rotate_left(turn.min(arms.len()));
        let renamed = turned.into_iter().map(|arm| CountedArm { grower: GROWERS - 1 - arm.grower, trial: 50 - arm.trial, ..arm });
        prop_assert_eq!(figures(renamed.collect(), vec![1.0; GROWERS]), before);
    }

    #[test]
    fn counting_failures_mirrors_every_rate(arms in arms()) {
        let before = figures(arms.clone(), vec![1.0; GROWERS]);
        let failures = arms.into_iter().map(|arm| CountedArm {
            count: Count { started: arm.count.started, succeeded: arm.count.failed() },
            ..arm
        });
        let after: Vec<[f64; 5]> = figures(failures.collect(), vec![1.0; GROWERS]);
        let mirrored = |[mean, sd, average, low, high]: [f64; 5]| [-mean, sd, 1.0 - average, 1.0 - high, 1.0 - low];
        let mirrored: Vec<[f64; 5]> = after.into_iter().map(mirrored).collect();
        prop_assert!(close(&before, &mirrored, 1e-6), "{:?} {:?}", before, mirrored);
    }

    #[test]
    fn a_grower_of_weight_zero_is_absent(arms in arms()) {
        let without = arms.iter().filter(|arm| arm.grower > 0).cloned().collect();
        let weights = vec![0.0, 1.0, 0.6];
        prop_assert_eq!(figures(arms, weights.clone()), figures(without, weights));
    }
}

#[test]
fn without_trials_the_prior_answers() {
    // Variance 1.5² and five times 0.25 (Laplace's nodes stand at the prior): log odds 0 ± 1.87.
    for figures in figures(Vec::new(), vec![1.0; GROWERS]) {
        let [mean, sd, average, ..] = figures;
        assert!(mean.abs() < 1e-9 && (average - 0.5).abs() < 1e-9);
        assert!((sd - 3.5f64.sqrt()).abs() < 0.1, "{sd}");
    }
}

/// Combined steps went round in a circle here: three arms of one species and method, one of them nothing of 15.
#[test]
fn spreads_settle_where_combined_steps_do_not() {
    let arm = |grower, started, succeeded| CountedArm {
        grower,
        trial: grower,
        levels: vec![Some(0), Some(1), Some(1)],
        count: Count { started, succeeded },
        replicates: 1,
    };
    let found = figures(vec![arm(0, 9, 3), arm(2, 3, 3), arm(2, 15, 0)], vec![1.0; GROWERS]);
    assert!(found.iter().flatten().all(|figure| figure.is_finite()));
}
