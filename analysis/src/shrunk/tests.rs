//! What holds at any node of the grid.

use super::*;
use crate::Count;
use crate::table::CountedArm;

fn row(trial: usize, levels: &[Option<usize>], started: u32, succeeded: u32) -> CountedArm {
    CountedArm {
        grower: trial,
        trial,
        levels: levels.to_vec(),
        count: Count { started, succeeded },
        replicates: 1,
    }
}

/// Mean and variance of level 0 against level 1 at every node.
fn differences(rows: Vec<CountedArm>, facets: Vec<usize>) -> Vec<(f64, f64)> {
    let table = ArmTable::new(facets, vec![1.0; 20], rows).expect("valid");
    let (layout, options) = (Layout::new(&table, 0), ShrunkOptions::default());
    let nodes = posterior(&layout, &options).expect("converges");
    let difference = |weighted: &Weighted| {
        let Found { mean, covariance, .. } = &weighted.found;
        let variance = covariance[(0, 0)] + covariance[(1, 1)] - 2.0 * covariance[(0, 1)];
        (mean[0] - mean[1], variance)
    };
    nodes.iter().map(difference).collect()
}

#[test]
fn arms_that_stand_beside_nothing_cannot_move_a_difference() {
    let plain = |trial, level, succeeded| row(trial, &[Some(level), Some(0)], 12, succeeded);
    let compared = || vec![plain(0, 0, 3), plain(0, 1, 9), plain(1, 0, 1), plain(1, 1, 6), plain(1, 2, 2)];
    let mut more = compared();
    // One level in a trial, another medium than its neighbour, an unknown medium, an unknown level.
    more.extend([
        plain(2, 0, 12),
        plain(3, 1, 0),
        row(4, &[Some(0), Some(0)], 30, 30),
        row(4, &[Some(1), Some(1)], 30, 0),
    ]);
    more.extend([
        row(5, &[Some(0), None], 30, 30),
        row(5, &[Some(1), None], 30, 0),
        row(6, &[None, Some(0)], 9, 9),
    ]);
    let (few, many) = (differences(compared(), vec![3, 2]), differences(more, vec![3, 2]));
    assert_eq!(few.len(), many.len());
    for (a, b) in few.iter().zip(&many) {
        assert!((a.0 - b.0).abs() < 1e-7 && (a.1 - b.1).abs() < 1e-7, "{a:?} {b:?}");
    }
}

#[test]
fn the_grid_has_the_moments_of_the_priors() {
    let options = ShrunkOptions::default();
    let nodes = grid::nodes(&options, true);
    let total: f64 = nodes.iter().map(|node| node.log_prior.exp()).sum();
    let mean =
        |of: fn(&Node) -> f64| nodes.iter().map(|node| node.log_prior.exp() * of(node)).sum::<f64>() / total;
    // E |Z| = sqrt(2 / pi); E Z² = 1; the median of a half-Cauchy law is its scale.
    let half_normal = std::f64::consts::FRAC_2_PI.sqrt();
    assert!((mean(|node| node.stratum) - half_normal).abs() < 0.01);
    assert!((mean(|node| node.arm.powi(2)) - 0.16).abs() < 0.02, "{}", mean(|node| node.arm.powi(2)));
    assert!((mean(|node| f64::from(u8::from(node.level < 0.25))) - 0.5).abs() < 1e-12);
}
