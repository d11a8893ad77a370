//! The figures with strangers, beside those of a pool that leaves them out.

use super::{EverybodyAnswer, MethodAnswer, method};
use crate::question::{Asked, PoolQuestion};
use crate::said::AnswerSaid;
use crate::{AnswerError, Warning};
use propagule_evidence::{Evidence, Lost, group, tally};

/// Puts the figure with strangers beside that of each method; a method that only they have tried gets none.
pub(super) fn add_with_new(
    methods: &mut [MethodAnswer],
    with_new: &Evidence,
    asked: &Asked<'_, PoolQuestion>,
) -> Result<Option<Warning>, AnswerError> {
    let counted = with_new.rows.iter().filter(|row| !row.pending);
    let groups = group(counted, &asked.question.grouping, &mut Vec::new());
    for answer in methods.iter_mut() {
        let Some(group) = groups.iter().find(|group| group.label == answer.method) else { continue };
        let tally = tally(&group.rows);
        if tally.growers == answer.growers {
            continue;
        }
        answer.everybody = Some(EverybodyAnswer {
            growers: tally.growers,
            trials: tally.trials,
            started: tally.started,
            rooted: tally.succeeded,
            // The split says it before any figure; strangers that differ need no second warning.
            differs: false,
            fit: method::fit(group, Lost::AsFailures, asked)?,
        });
    }
    let only =
        groups.iter().filter(|group| methods.iter().all(|answer| answer.method != group.label)).count();
    let is_told = only > 0 && !methods.is_empty();
    Ok(is_told.then(|| Warning::new("strangers_only", AnswerSaid::StrangersOnly { methods: only })))
}
