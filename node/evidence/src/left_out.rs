//! What was not counted and why, and what to say of the evidence itself.

use serde::{Deserialize, Serialize};

/// Why something was not counted, and how often.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LeftOut {
    /// Why.
    pub why: WhyLeftOut,
    /// How many trials or arms, as the reason says.
    pub count: usize,
}

/// Why a trial or an arm was not counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum WhyLeftOut {
    /// A trial of a muted grower.
    Muted,
    /// A trial of somebody whose results were not asked for.
    Outside,
    /// A trial transcribed from print.
    Transcribed,
    /// A trial not opened before its first counts, or lowered later.
    NotOpened,
    /// A trial of stocks that an earlier trial failed on.
    WorkedAgain,
    /// A trial that is perhaps the same as one counted.
    PerhapsTheSame,
    /// An arm of another cultivar, or of one not named.
    OtherCultivar,
    /// An arm where the outcome was not counted.
    OutcomeNotCounted,
    /// An arm counted at another stage or for another outcome.
    OtherCount,
    /// An arm that the filter does not admit.
    NotAdmitted,
    /// An arm with a word that this version does not know.
    WordNotKnown,
    /// A trial not counted at this stage yet.
    NotCountedYet,
    /// An arm of another kind than the one looked at.
    OtherKind,
    /// An arm moved before the count.
    MovedBefore,
    /// An arm in one pot, tray or row.
    OneReplicate,
}

/// Adds `count` to the line with this reason.
pub(crate) fn leave_out(list: &mut Vec<LeftOut>, why: WhyLeftOut, count: usize) {
    match list.iter_mut().find(|line| line.why == why) {
        Some(line) => line.count += count,
        None => list.push(LeftOut { why, count }),
    }
}

/// Something to say of the evidence itself.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum EvidenceNote {
    /// Columns of a table that are not used.
    UnusedColumns(Vec<String>),
    /// Growers of a table of whom no site is given.
    NoSite(Vec<String>),
}
