//! What of a trial is said first: the latest count, and the pair of arms that it is about.

use propagule_analysis::verdict::Verdict;

use super::{StageAnswer, VerdictRow};

/// The count that leads: the latest by its day, and of several on one day the later stage.
pub fn latest<'a>(stages: impl IntoIterator<Item = &'a StageAnswer>) -> Option<&'a StageAnswer> {
    stages.into_iter().max_by_key(|found| (found.on.middle(), found.stage))
}

/// The pair that leads: the only one, or of several the first clear one that the trial asks about. Where none is clear,
/// no pair speaks for the rest.
pub fn pair<'a>(verdicts: impl IntoIterator<Item = &'a VerdictRow>) -> Option<&'a VerdictRow> {
    let verdicts: Vec<&VerdictRow> = verdicts.into_iter().collect();
    match verdicts.as_slice() {
        [only] => Some(only),
        several => several.iter().find(|row| row.in_family && row.verdict == Verdict::Better).copied(),
    }
}
