//! What one of them and a success are called for the question and the kind of propagation.

use propagule_answer::said::Wording;
use propagule_evidence::Stage;

use crate::kind::{KindWords, Success};

/// What one of them and a success are called.
pub trait PieceWords {
    /// The words of its kind.
    fn kind(self) -> KindWords;
    /// What a success is called.
    fn success(self) -> Success;
    /// As a heading: rooted, taken.
    fn done(self) -> &'static str;
    /// Behind a count: rooted, took.
    fn did(self) -> &'static str;
}

impl PieceWords for Wording {
    fn kind(self) -> KindWords {
        KindWords::of_family(self.family)
    }

    fn success(self) -> Success {
        self.kind().success(self.outcome)
    }

    fn done(self) -> &'static str {
        self.success().oked
    }

    fn did(self) -> &'static str {
        self.success().ok
    }
}

/// "rooted at the lift count", "finished at the final count".
pub fn question_words(wording: Wording, stage: Stage) -> String {
    format!("{} at {}", wording.done(), stage_words(wording, stage))
}

/// `the take count`; where kinds are mixed, what all of them call it.
fn stage_words(wording: Wording, stage: Stage) -> String {
    let stage = match stage {
        Stage::Lift => propagule_bench::Stage::Lift,
        Stage::Season => propagule_bench::Stage::Season,
        Stage::Spring => propagule_bench::Stage::Spring,
        Stage::Final => propagule_bench::Stage::Final,
    };
    wording.kind().at(stage)
}
