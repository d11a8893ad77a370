//! Flags of the question asked of the evidence, shared by `pool` and `compare`.

use clap::{Args, ValueEnum};

use propagule_evidence::{Outcome, Question, Stage};

#[derive(Clone, Copy, Debug, ValueEnum)]
enum StageArg {
    Lift,
    Season,
    Spring,
    Final,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum OutcomeArg {
    Rooted,
    Alive,
    Callused,
    Established,
    Final,
}

#[derive(Debug, Args)]
pub(super) struct QuestionArgs {
    #[arg(long, value_enum, default_value_t = StageArg::Lift)]
    stage: StageArg,
    #[arg(long, value_enum)]
    outcome: Option<OutcomeArg>,
}

impl QuestionArgs {
    pub(super) fn question(&self) -> Question {
        let stage = match self.stage {
            StageArg::Lift => Stage::Lift,
            StageArg::Season => Stage::Season,
            StageArg::Spring => Stage::Spring,
            StageArg::Final => Stage::Final,
        };
        let outcome = match (self.outcome, stage) {
            (None, Stage::Final) | (Some(OutcomeArg::Final), _) => Outcome::Final,
            (None | Some(OutcomeArg::Rooted), _) => Outcome::Rooted,
            (Some(OutcomeArg::Alive), _) => Outcome::Alive,
            (Some(OutcomeArg::Callused), _) => Outcome::Callused,
            (Some(OutcomeArg::Established), _) => Outcome::Established,
        };
        Question { stage, outcome }
    }
}
