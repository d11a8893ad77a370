//! What stands below a method's headline: roots first seen after a move, and the whole life of its pieces.

use super::{MethodAnswer, MovedAnswer, PoolRequest, WholeLifeAnswer};
use crate::answer::words::{self, Wording};
use crate::evidence::{
    Evidence, EvidenceRow, MethodGroup, Outcome, Question, Stage, WholeLife, group, moved, whole_life,
};

/// Adds both to the answers, which are in the order of the groups.
pub(super) fn add_lives(
    methods: &mut [MethodAnswer],
    counted: &[MethodGroup<'_>],
    evidence: &Evidence,
    request: &PoolRequest,
) {
    let asks_for_life = request.question == Question { stage: Stage::Lift, outcome: Outcome::Rooted };
    // Trials that were not counted at lift may have been looked at later.
    let all = group(evidence.rows.iter(), &request.grouping, &mut Vec::new());
    for (answer, of) in methods.iter_mut().zip(counted) {
        answer.moved = moved_answers(&of.rows, answer.facts.wording);
        if asks_for_life {
            let rows = all.iter().find(|group| group.label == of.label).map(|group| &group.rows);
            let life = rows.and_then(|rows| whole_life(rows));
            answer.whole_life = life.map(|life| life_answer(&life, answer.facts.wording));
        }
    }
}

fn moved_answers(rows: &[&EvidenceRow], wording: Wording) -> Vec<MovedAnswer> {
    let answer = |moved: crate::evidence::Moved| MovedAnswer {
        sentence: words::moved(wording, &moved),
        weeks: [moved.weeks.0, moved.weeks.1],
        trials: moved.trials,
        rooted: moved.rooted,
        started: moved.started,
        path: moved.path,
    };
    moved(rows).into_iter().map(answer).collect()
}

fn life_answer(life: &WholeLife, wording: Wording) -> WholeLifeAnswer {
    let ends = (life.started > 0).then(|| words::count_interval(life.ever_rooted, life.started));
    WholeLifeAnswer {
        trials: life.trials,
        growers: life.growers,
        started: life.started,
        ever_rooted: life.ever_rooted,
        still_waiting: life.still_waiting,
        pending: life.pending,
        lower: ends.map(|(low, _)| low),
        upper: ends.map(|(_, high)| high),
        sentence: words::whole_life(wording, life),
    }
}
