//! Arms that may rank methods: where two methods stand side by side in a trial, all that is no part of their names is alike.

use std::collections::{BTreeMap, BTreeSet};

use propagule_evidence::{EvidenceRow, MethodGroup};

/// Trial and arm.
pub(super) type ArmOf<'a> = (&'a str, &'a str);

/// Arms that stand beside other methods and differ from each of them in more than what makes the methods: which of it did
/// it cannot be said, so that they rank nothing.
pub(super) fn confounded<'a>(groups: &[MethodGroup<'a>]) -> BTreeSet<ArmOf<'a>> {
    let mut trials: BTreeMap<&str, Vec<(usize, &EvidenceRow)>> = BTreeMap::new();
    for (method, group) in groups.iter().enumerate() {
        for row in &group.rows {
            trials.entry(&row.trial).or_default().push((method, row));
        }
    }
    let mut found = BTreeSet::new();
    for arms in trials.values() {
        for (method, row) in arms {
            let mut others = arms.iter().filter(|(other, _)| other != method).peekable();
            let is_beside = others.peek().is_some();
            if is_beside
                && !others.any(|(other, beside)| is_alike(row, beside, &groups[*method], &groups[*other]))
            {
                found.insert((row.trial.as_str(), row.arm.as_str()));
            }
        }
    }
    found
}

/// Whether two arms differ in nothing but what makes their methods.
fn is_alike(
    one: &EvidenceRow,
    other: &EvidenceRow,
    first: &MethodGroup<'_>,
    second: &MethodGroup<'_>,
) -> bool {
    let makes_method = |name: &String| first.facets.contains_key(name) || second.facets.contains_key(name);
    let mut names = one.facets.keys().chain(other.facets.keys()).filter(|name| !makes_method(name));
    let apart = |row: &EvidenceRow| (row.flags.unlisted_difference, row.flags.start_offset);
    apart(one) == apart(other)
        && one.phases == other.phases
        && names.all(|name| one.facets.get(name) == other.facets.get(name))
}
