//! Which methods were ever compared, directly or through others.

use super::contrasts::NetworkTrial;

/// Methods joined by trials, by their indices in rising order.
pub type Component = Vec<usize>;

/// Connected components of the graph in which two methods are joined when a trial holds both; larger ones first, then by
/// their first method. Nothing may be ranked across components.
///
/// ```
/// use propagule_analysis::Count;
/// use propagule_analysis::network::{NetworkTrial, TrialArm, components};
///
/// let count = Count { started: 10, succeeded: 4 };
/// let trial = |methods: &[usize]| NetworkTrial {
///     arms: methods.iter().map(|method| TrialArm { method: *method, count }).collect(),
/// };
/// // Methods 0, 1 and 2 are linked; 3 and 4 were compared with each other only.
/// let found = components(5, &[trial(&[0, 1]), trial(&[1, 2]), trial(&[3, 4])]);
/// assert_eq!(found, vec![vec![0, 1, 2], vec![3, 4]]);
/// ```
pub fn components(methods: usize, trials: &[NetworkTrial]) -> Vec<Component> {
    let mut parent: Vec<usize> = (0..methods).collect();
    for trial in trials {
        for pair in trial.arms.windows(2) {
            let (a, b) = (root(&parent, pair[0].method), root(&parent, pair[1].method));
            parent[a.max(b)] = a.min(b);
        }
    }
    let mut groups: Vec<Component> = vec![Vec::new(); methods];
    for method in 0..methods {
        groups[root(&parent, method)].push(method);
    }
    groups.retain(|group| !group.is_empty());
    groups.sort_by(|a, b| b.len().cmp(&a.len()).then(a.cmp(b)));
    groups
}

fn root(parent: &[usize], mut method: usize) -> usize {
    while parent[method] != method {
        method = parent[method];
    }
    method
}
