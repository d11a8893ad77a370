//! Stage A on a sparse information against the same equations in one dense matrix.

use proptest::prelude::*;

use super::layout::Layout;
use super::mode::At;
use super::moments::Moments;
use super::spreads::Spreads;
use super::{JointOptions, Tails};
use crate::Count;
use crate::logit::logistic;
use crate::matrix::Matrix;
use crate::table::{ArmTable, CountedArm};

const GROWERS: usize = 4;

fn arms() -> impl Strategy<Value = Vec<CountedArm>> {
    let count = (1..25u32).prop_flat_map(|n| (Just(n), 0..=n));
    let arm = (0..7usize, 0..4usize, 0..3usize, count).prop_map(
        |(trial, species, method, (started, succeeded))| CountedArm {
            grower: trial % GROWERS,
            trial,
            levels: vec![Some(species / 2), Some(species), Some(method)],
            count: Count { started, succeeded },
            replicates: 1,
        },
    );
    prop::collection::vec(arm, 1..14)
}

fn options() -> JointOptions {
    JointOptions { tails: Tails::Normal, ..JointOptions::default() }
}

/// The information of all effects at once, nothing eliminated and every weight 1: variables, trials, arms.
fn dense(layout: &Layout, prior: &super::Prior, at: &At) -> Matrix {
    let (variables, trials) = (layout.kinds.len(), layout.trials.len());
    let size = variables + trials + layout.arms;
    let mut out = Matrix::zeros(size, size);
    (0..variables).for_each(|k| out[(k, k)] = prior.precision[k]);
    (0..trials).for_each(|k| out[(variables + k, variables + k)] = prior.trial.recip());
    for (number, trial) in layout.trials.iter().enumerate() {
        for arm in &trial.arms {
            let own = variables + trials + arm.place;
            out[(own, own)] = prior.arm.recip();
            let p = logistic(at.shared(number, trial, arm) + at.arms[arm.place]);
            let mut terms: Vec<usize> = arm.terms.iter().map(|term| trial.touched[*term]).collect();
            terms.extend([variables + number, own]);
            for a in &terms {
                for b in &terms {
                    out[(*a, *b)] += arm.started * p * (1.0 - p);
                }
            }
        }
    }
    out
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn variances_are_those_of_one_dense_matrix(arms in arms()) {
        let table = ArmTable::new(vec![2, 4, 3], vec![1.0; GROWERS], arms).expect("valid");
        let layout = Layout::new(&table, super::Caps::default());
        let spreads = Spreads::new([0.0; 8], &options());
        let prior = layout.prior(&spreads, &[1.0; GROWERS], &options());
        let mut at = At::none(&layout);
        let local = layout.climb(&prior, &mut at, 1e-10).expect("converges");
        let whole = dense(&layout, &prior, &at).inverse().expect("positive definite");
        let moments = Moments::new(&layout, &prior, &at, &local);
        let inverse = layout.pattern.inverse(&local.factor);
        let found: Vec<f64> = [moments.variables(&inverse), moments.trials(&inverse), moments.arms(&inverse)].concat();
        for (k, found) in found.iter().enumerate() {
            prop_assert!((found - whole[(k, k)]).abs() < 1e-8, "{k}: {found} {}", whole[(k, k)]);
        }
        let (variables, trials) = moments.with_all(&moments.trial(0));
        for (k, found) in variables.iter().enumerate() {
            prop_assert!((found - whole[(layout.kinds.len(), k)]).abs() < 1e-8);
        }
        let own = trials[0] + local.trials[0].precision.recip();
        prop_assert!((own - whole[(layout.kinds.len(), layout.kinds.len())]).abs() < 1e-8);
    }

    /// Half the weight of a grower is as if it counted half: the mode of shared effects is that of the weighted marginal.
    #[test]
    fn the_weight_of_nearly_one_is_nearly_the_whole(arms in arms()) {
        let mean = |weight: f64| {
            let table = ArmTable::new(vec![2, 4, 3], vec![weight; GROWERS], arms.clone()).expect("valid");
            let layout = Layout::new(&table, super::Caps::default());
            let spreads = Spreads::new([0.0; 8], &options());
            let prior = layout.prior(&spreads, &[1.0; GROWERS], &options());
            let mut at = At::none(&layout);
            let local = layout.climb(&prior, &mut at, 1e-10).expect("converges");
            let moments = Moments::new(&layout, &prior, &at, &local);
            let inverse = layout.pattern.inverse(&local.factor);
            (at.variables.clone(), moments.variables(&inverse), moments.trials(&inverse))
        };
        let (one, nearly) = (mean(1.0), mean(1.0 - 1e-12));
        let all = |(a, b, c): (Vec<f64>, Vec<f64>, Vec<f64>)| [a, b, c].concat();
        for (a, b) in all(one).into_iter().zip(all(nearly)) {
            prop_assert!((a - b).abs() < 1e-9, "{a} {b}");
        }
    }
}
