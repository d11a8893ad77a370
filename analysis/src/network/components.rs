//! Which methods were ever compared, directly or through others.

use super::contrasts::NetworkTrial;

/// Methods joined by trials, by their indices in rising order.
pub type Component = Vec<usize>;

/// Connected components of the graph in which two methods are joined when a trial holds both; larger ones first, then by
/// their first method. Nothing may be ranked across components.
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
