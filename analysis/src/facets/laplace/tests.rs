//! The elimination of growers against one dense matrix.

use super::*;
use crate::Count;
use crate::dense::Dense;
use crate::facets::tried::Tried;
use crate::facets::{Facet, FacetArm};

fn growers() -> Vec<FacetGrower> {
    let arm = |(a, b, started, succeeded): &(usize, usize, u32, u32)| FacetArm {
        levels: vec![*a, *b],
        count: Count { started: *started, succeeded: *succeeded },
    };
    let trial = |arms: &[(usize, usize, u32, u32)]| arms.iter().map(arm).collect::<Vec<FacetArm>>();
    let grower = |trials: Vec<Vec<FacetArm>>| FacetGrower { trials, weight: 1.0 };
    vec![
        grower(vec![trial(&[(0, 0, 20, 3), (0, 1, 20, 9), (1, 1, 12, 0)]), trial(&[(1, 0, 8, 1)])]),
        grower(vec![trial(&[(0, 0, 15, 0), (1, 2, 15, 1)]), trial(&[(1, 0, 25, 5), (0, 1, 25, 13)])]),
        grower(vec![trial(&[(0, 1, 9, 9)])]),
    ]
}

/// Fixed parameters mu, two levels, three levels; a deviation for every grower, and in three levels for every trial.
fn dense(model: Model, [between, within]: [f64; 2]) -> Dense {
    const FIXED: usize = 6;
    let (growers, mut arms, mut trials) = (growers(), Vec::new(), 0);
    for (g, grower) in growers.iter().enumerate() {
        for trial in &grower.trials {
            arms.extend(trial.iter().map(|arm| (g, trials, arm)));
            trials += 1;
        }
    }
    let three = model == Model::ThreeLevel;
    let deviations = growers.len() + if three { trials } else { 0 };
    let variance = |k: usize| if k < growers.len() { between * between } else { within * within };
    let row = |&(grower, trial, arm): &(usize, usize, &FacetArm)| {
        let mut row = vec![0.0; FIXED + deviations];
        let places = [0, 1 + arm.levels[0], 3 + arm.levels[1], FIXED + grower];
        let own = three.then_some(FIXED + growers.len() + trial);
        places.into_iter().chain(own).for_each(|place| row[place] = 1.0);
        row
    };
    Dense {
        fixed: FIXED,
        sd: 2.82 / 2.0f64.sqrt(),
        covariance: Matrix::from_fn(deviations, deviations, |i, j| if i == j { variance(i) } else { 0.0 }),
        rows: arms.iter().map(row).collect(),
        counts: arms.iter().map(|(_, _, arm)| (arm.count.succeeded, arm.count.started)).collect(),
    }
}

#[test]
fn eliminating_growers_is_exact() {
    let (facets, growers) = ([Facet::new(2), Facet::new(3)], growers());
    let layout = Layout::new(&facets, &Tried::new(&facets, &growers));
    for model in [Model::TwoLevel, Model::ThreeLevel] {
        for spreads in [[0.8, 0.4], [0.1, 0.9], [2.5, 0.05]] {
            let problem =
                Problem::new(&layout, cluster::clusters(&layout, &growers, model), &Options::default());
            let found = problem
                .climb(&mut problem.start(), Spread::new(model, spreads[0], spreads[1]))
                .expect("converges");
            let want = dense(model, spreads).laplace();
            want.assert_same(&found.mean, &found.covariance, found.log_evidence);
        }
    }
}
