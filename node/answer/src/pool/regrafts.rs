//! Stocks that were worked again: what became of them, apart from the headline.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::question::{Asked, PoolQuestion};
use crate::said::{AnswerSaid, Family, Wording};
use propagule_evidence::{EvidenceRow, Grouping, group, tally};

/// Stocks of earlier trials that were worked again: chosen by failure, so they stand beside the headline.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct RegraftsAnswer {
    /// Trials.
    pub trials: usize,
    /// Growers.
    pub growers: usize,
    /// Propagules started.
    pub started: u32,
    /// Successes.
    pub rooted: u32,
    /// In words.
    pub sentence: AnswerSaid,
}

/// Counts over all methods, since they are no rate of any; `None` where nothing of them was counted.
pub(super) fn regrafts(rows: &[EvidenceRow], asked: &Asked<'_, PoolQuestion>) -> Option<RegraftsAnswer> {
    let counted = rows.iter().filter(|row| !row.pending);
    let together =
        Grouping { pool_all: true, filters: asked.question.grouping.filters.clone(), ..Grouping::default() };
    let groups = group(counted, &together, &mut Vec::new());
    let all = groups.first()?;
    let tally = tally(&all.rows);
    // Several ways of grafting are still grafts; only a mixture of families has no words of its own.
    let family = if all.family == Family::Mixed { Family::Grafts } else { all.family };
    let wording = Wording::new(family, asked.question.count.outcome);
    Some(RegraftsAnswer {
        trials: tally.trials,
        growers: tally.growers,
        started: tally.started,
        rooted: tally.succeeded,
        sentence: AnswerSaid::WorkedAgain {
            wording,
            rooted: tally.succeeded,
            started: tally.started,
            trials: tally.trials,
        },
    })
}
