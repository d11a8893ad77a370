//! Sparse against dense, on random patterns.

use proptest::prelude::*;

use super::Pattern;
use crate::matrix::Matrix;

/// A matrix of cliques: each adds its weight times the square of the sum of its members; the diagonal has one more.
#[derive(Clone, Debug)]
struct Cliques {
    variables: usize,
    members: Vec<(Vec<usize>, f64)>,
}

fn cliques() -> impl Strategy<Value = Cliques> {
    (2usize..24).prop_flat_map(|variables| {
        let members = prop::collection::btree_set(0..variables, 1..variables.min(6) + 1);
        let clique =
            (members, 0.1f64..3.0).prop_map(|(members, weight)| (members.into_iter().collect(), weight));
        prop::collection::vec(clique, 0..14).prop_map(move |members| Cliques { variables, members })
    })
}

impl Cliques {
    fn sparse(&self) -> (Pattern, Vec<f64>) {
        let pattern =
            Pattern::new(self.variables, self.members.iter().map(|(members, _)| members.as_slice()));
        let mut entries = vec![0.0; pattern.entries()];
        (0..self.variables).for_each(|k| entries[pattern.slot(k, k)] += 1.0 + 0.1 * k as f64);
        for (members, weight) in &self.members {
            for (i, a) in members.iter().enumerate() {
                members[..=i].iter().for_each(|b| entries[pattern.slot(*a, *b)] += weight);
            }
        }
        (pattern, entries)
    }

    fn dense(&self) -> Matrix {
        let weight = |i: usize, j: usize| {
            let holds = |members: &[usize]| members.contains(&i) && members.contains(&j);
            self.members.iter().filter(|(members, _)| holds(members)).map(|(_, weight)| weight).sum::<f64>()
        };
        let own = |i: usize, j: usize| if i == j { 1.0 + 0.1 * i as f64 } else { 0.0 };
        Matrix::from_fn(self.variables, self.variables, |i, j| weight(i, j) + own(i, j))
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn solutions_and_the_inverse_are_those_of_a_dense_matrix(cliques in cliques()) {
        let (pattern, entries) = cliques.sparse();
        let factor = pattern.factor(&entries).expect("positive definite");
        let inverse = cliques.dense().inverse().expect("positive definite");
        let right: Vec<f64> = (0..cliques.variables).map(|k| (k as f64).sin()).collect();
        for (found, wanted) in pattern.solve(&factor, &right).iter().zip(inverse.times_vector(&right)) {
            prop_assert!((found - wanted).abs() < 1e-10, "{found} {wanted}");
        }
        let selected = pattern.inverse(&factor);
        for (members, _) in &cliques.members {
            for a in members {
                for b in members {
                    let found = pattern.covariance(&selected, *a, *b);
                    prop_assert!((found - inverse[(*a, *b)]).abs() < 1e-10, "{found} {}", inverse[(*a, *b)]);
                }
            }
        }
        for a in 0..cliques.variables {
            prop_assert!((pattern.covariance(&selected, a, a) - inverse[(a, a)]).abs() < 1e-10);
            let one = pattern.rooted(&factor, &[(a, 1.0)]);
            let other = pattern.rooted(&factor, &[(0, 2.0)]);
            let product: f64 = one.iter().zip(&other).map(|(x, y)| x * y).sum();
            prop_assert!((product - 2.0 * inverse[(a, 0)]).abs() < 1e-10);
        }
    }

    #[test]
    fn every_variable_is_eliminated_once(cliques in cliques()) {
        let (pattern, _) = cliques.sparse();
        let mut places = pattern.place.clone();
        places.sort_unstable();
        prop_assert!(places.into_iter().eq(0..cliques.variables as u32));
    }
}

#[test]
fn the_middle_of_a_star_comes_last_and_nothing_fills_in() {
    let arms: Vec<[usize; 2]> = (1..50).map(|k| [0, k]).collect();
    let pattern = Pattern::new(50, arms.iter().map(<[usize; 2]>::as_slice));
    assert_eq!(pattern.filled(), 49);
    // One of two that are left may come first as well.
    assert!(pattern.place[0] >= 48);
}

#[test]
fn what_is_not_positive_definite_has_no_factor() {
    let pattern = Pattern::new(2, [[0usize, 1].as_slice()].into_iter());
    let entries = |off: f64| {
        let mut entries = vec![0.0; pattern.entries()];
        (entries[pattern.slot(0, 0)], entries[pattern.slot(1, 1)], entries[pattern.slot(0, 1)]) =
            (1.0, 1.0, off);
        entries
    };
    assert!(pattern.factor(&entries(0.5)).is_some());
    assert!(pattern.factor(&entries(1.5)).is_none() && pattern.factor(&entries(f64::NAN)).is_none());
}
