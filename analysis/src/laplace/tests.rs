//! The elimination of growers against one dense matrix, and weights.

use super::*;
use crate::dense::Dense;

const GLOBALS: usize = 3;
/// Global, own and arm standard deviations.
const SPREADS: [(f64, [f64; 2], f64); 3] =
    [(0.7, [0.8, 0.4], 0.3), (1.5, [0.1, 0.9], 0.02), (0.2, [2.5, 0.05], 1.1)];

fn arm(global: &[usize], own: &[usize], started: u32, succeeded: u32) -> LaplaceArm {
    LaplaceArm {
        succeeded: f64::from(succeeded),
        started: f64::from(started),
        global: global.to_vec(),
        own: own.to_vec(),
    }
}

fn blocks() -> Vec<Block> {
    let first = vec![arm(&[0, 1], &[0, 2], 20, 3), arm(&[1], &[1, 2], 20, 9), arm(&[1, 2], &[1, 3], 12, 0)];
    let second = vec![arm(&[0, 2], &[0], 15, 15), arm(&[2], &[0], 8, 1)];
    vec![
        Block::new(first, vec![0, 0, 1, 1], 1.0),
        Block::new(second, vec![0], 1.0),
        Block::new(vec![arm(&[0, 1], &[], 9, 4)], vec![], 1.0),
    ]
}

fn variances((global, own, arm): (f64, [f64; 2], f64)) -> Variances {
    Variances { global: vec![global * global; GLOBALS], own: own.map(|sd| sd * sd).to_vec(), arm: arm * arm }
}

fn found(blocks: Vec<Block>, spreads: (f64, [f64; 2], f64)) -> Found {
    let problem = Problem { globals: GLOBALS, blocks };
    problem.climb(&variances(spreads), &mut problem.start()).expect("converges")
}

/// The same model; its first parameter, whose prior is logistic, is in no row.
fn dense(blocks: &[Block], spreads: (f64, [f64; 2], f64)) -> Dense {
    let variances = variances(spreads);
    let arms: usize = blocks.iter().map(|block| block.arms.len()).sum();
    let own: usize = blocks.iter().map(|block| block.kinds.len()).sum();
    let kinds: Vec<f64> =
        blocks.iter().flat_map(|block| &block.kinds).map(|kind| variances.own[*kind]).collect();
    let fixed = 1 + GLOBALS;
    let (mut rows, mut counts, mut before) = (Vec::new(), Vec::new(), 0);
    for block in blocks {
        for arm in &block.arms {
            let mut row = vec![0.0; fixed + own + arms];
            arm.global.iter().for_each(|k| row[1 + k] += 1.0);
            arm.own.iter().for_each(|k| row[fixed + before + k] += 1.0);
            row[fixed + own + rows.len()] = 1.0;
            rows.push(row);
            counts.push((arm.succeeded as u32, arm.started as u32));
        }
        before += block.kinds.len();
    }
    let variance = |k: usize| if k < own { kinds[k] } else { variances.arm };
    let covariance = Matrix::from_fn(own + arms, own + arms, |i, j| if i == j { variance(i) } else { 0.0 });
    Dense { fixed, sd: spreads.0, covariance, rows, counts }
}

/// Logs of binomial coefficients, and of what the dense model's first parameter adds.
fn constant(blocks: &[Block]) -> f64 {
    let choose = |arm: &LaplaceArm| crate::binomial::ln_choose(arm.started, arm.succeeded);
    let coefficients: f64 = blocks.iter().flat_map(|block| &block.arms).map(choose).sum();
    coefficients + 0.25f64.ln() + 0.5 * std::f64::consts::TAU.ln() - 0.5 * 0.5f64.ln()
}

#[test]
fn eliminating_growers_and_arms_is_exact() {
    for spreads in SPREADS {
        let found = found(blocks(), spreads);
        let want = dense(&blocks(), spreads).laplace();
        let mean: Vec<f64> = [0.0].into_iter().chain(found.mean).collect();
        let covariance = Matrix::from_fn(mean.len(), mean.len(), |i, j| match (i, j) {
            (0, 0) => 2.0,
            (0, _) | (_, 0) => 0.0,
            _ => found.covariance[(i - 1, j - 1)],
        });
        want.assert_same(&mean, &covariance, found.log_evidence + constant(&blocks()));
    }
}

fn assert_close(a: &Found, b: &Found, slack: f64) {
    assert!((a.log_evidence - b.log_evidence).abs() < slack, "{} {}", a.log_evidence, b.log_evidence);
    for i in 0..GLOBALS {
        assert!((a.mean[i] - b.mean[i]).abs() < slack, "{:?} {:?}", a.mean, b.mean);
        assert!((a.covariance[(i, i)] - b.covariance[(i, i)]).abs() < slack);
    }
}

#[test]
fn a_weight_is_a_power_of_what_a_grower_says() {
    let weighted = |k: usize, weight: f64| {
        let mut blocks = blocks();
        blocks[k].weight = weight;
        blocks
    };
    for spreads in SPREADS {
        for k in 0..3 {
            let mut without = blocks();
            let block = without.remove(k);
            assert_close(&found(weighted(k, 0.0), spreads), &found(without, spreads), 1e-9);
            // Two halves of one grower are the grower.
            let mut halves = weighted(k, 0.5);
            halves.push(Block::new(block.arms, block.kinds, 0.5));
            assert_close(&found(halves, spreads), &found(blocks(), spreads), 1e-9);
        }
    }
}

#[test]
fn no_numbers_do_not_converge() {
    let mut blocks = blocks();
    blocks[0].arms[0].succeeded = f64::NAN;
    let problem = Problem { globals: GLOBALS, blocks };
    let result = problem.climb(&variances(SPREADS[0]), &mut problem.start());
    assert_eq!(result.err(), Some(FitError::not_converged("mode", None)));
}
