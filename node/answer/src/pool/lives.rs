//! What stands below a method's headline: roots first seen after a move, and the whole life of its pieces.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::MethodAnswer;
use crate::question::{Asked, PoolQuestion};
use crate::said::{AnswerSaid, Wording, count_interval};
use propagule_evidence::{
    Evidence, EvidenceRow, MethodGroup, Moved, Outcome, Question, Stage, WholeLife, group, moved, whole_life,
};

/// Successes of a method that were first seen after a move.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct MovedAnswer {
    /// Where to.
    pub path: String,
    /// Fewest and most weeks from starting to the move.
    pub weeks: [u16; 2],
    /// Trials with such a move.
    pub trials: usize,
    /// Successes first seen after it.
    pub rooted: u32,
    /// Propagules started of the treatments that were moved.
    pub started: u32,
    /// In words.
    pub sentence: AnswerSaid,
}

/// Ever rooted of all that were started, in trials whose survivors are resolved.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct WholeLifeAnswer {
    /// Trials whose survivors are resolved.
    pub trials: usize,
    /// Growers of those.
    pub growers: usize,
    /// Propagules started.
    pub started: u32,
    /// Propagules that were ever rooted.
    pub ever_rooted: u32,
    /// Alive without roots at the last count; null where some treatment does not say, or without a trial.
    pub still_waiting: Option<u32>,
    /// Trials whose survivors are not resolved, left out.
    pub pending: usize,
    /// What the count alone fits, Wilson's 95 % interval or the one-sided bound at none and at all; null without a trial.
    pub lower: Option<f64>,
    /// The other end.
    pub upper: Option<f64>,
    /// In words.
    pub sentence: AnswerSaid,
}

/// Adds both to the answers, which are in the order of the groups.
pub(super) fn add_lives(
    methods: &mut [MethodAnswer],
    counted: &[MethodGroup<'_>],
    evidence: &Evidence,
    asked: &Asked<'_, PoolQuestion>,
) {
    let asks_for_life = asked.question.count == Question { stage: Stage::Lift, outcome: Outcome::Rooted };
    // Trials that were not counted at lift may have been looked at later.
    let all = group(evidence.rows.iter(), &asked.question.grouping, &mut Vec::new());
    for (answer, of) in methods.iter_mut().zip(counted) {
        let wording = Wording::new(answer.family, asked.question.count.outcome);
        answer.moved = moved_answers(&of.rows, wording);
        if asks_for_life {
            let rows = all.iter().find(|group| group.label == of.label).map(|group| &group.rows);
            let life = rows.and_then(|rows| whole_life(rows));
            answer.whole_life = life.map(|life| life_answer(&life, wording));
        }
    }
}

fn moved_answers(rows: &[&EvidenceRow], wording: Wording) -> Vec<MovedAnswer> {
    let answer = |moved: Moved| MovedAnswer {
        sentence: AnswerSaid::Moved { wording, moved: moved.clone() },
        weeks: [moved.weeks.0, moved.weeks.1],
        trials: moved.trials,
        rooted: moved.rooted,
        started: moved.started,
        path: moved.path,
    };
    moved(rows).into_iter().map(answer).collect()
}

fn life_answer(life: &WholeLife, wording: Wording) -> WholeLifeAnswer {
    let ends = (life.started > 0).then(|| count_interval(life.ever_rooted, life.started));
    WholeLifeAnswer {
        trials: life.trials,
        growers: life.growers,
        started: life.started,
        ever_rooted: life.ever_rooted,
        still_waiting: life.still_waiting,
        pending: life.pending,
        lower: ends.map(|(low, _)| low),
        upper: ends.map(|(_, high)| high),
        sentence: AnswerSaid::WholeLife { wording, life: life.clone() },
    }
}
