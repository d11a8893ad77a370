//! The words of what an answer says.

use propagule_answer::learnt::LearntState;
use propagule_answer::said::{AnswerSaid, Family, Wording};
use propagule_evidence::Question;

use super::circle::{circle_differs, nobody_asked_for, others_outside, outside_only};
use super::compare::{flags_by_chance, nobody_else};
use super::contrast::{always_together, any_kind};
use super::left_out::left_out;
use super::life::{moved, whole_life};
use super::nothing::{NEVER_SIDE_BY_SIDE, filtered_away, no_evidence, nothing_counted};
use super::plan::{SEVERAL_POTS, number_to_start, rank_nothing, several_plans, worth_a_try};
use super::rate::several_methods;
use super::regraft::regrafts;
use super::sentences::{borrowed, planning};
use super::shrunk::FIT_FAILED;
use super::silence::silent_trials;
use super::standing::strangers_only;
use super::vocabulary::PieceWords;
use super::vocabulary::question_words;
use super::{InWords, Of};
use crate::kind::detail;

impl InWords for AnswerSaid {
    fn words(&self) -> String {
        match self {
            Self::Nothing => String::new(),
            Self::Rate(facts) => facts.words(),
            Self::NeverTried { wording, rates, trials_of_genus, trials_of_method } => {
                let (rate, points) = (rates.average, rates.average_points);
                borrowed::never_tried(&wording.kind(), [*trials_of_genus, *trials_of_method], rate, points)
            }
            Self::SeveralMethods { methods, rooted, started, count } => {
                several_methods(*methods, *rooted, *started, &of_any(*count))
            }
            Self::Contrast(facts) => facts.words(),
            Self::Together { first, second, trials } => always_together(first, second, *trials),
            Self::Ranked(ranked) => ranked.words(),
            Self::Level(facts) => facts.words(),
            Self::Moved { wording, moved: of } => moved(*wording, of),
            Self::WholeLife { wording, life } => whole_life(*wording, life),
            Self::WorkedAgain { wording, rooted, started, trials } => {
                regrafts(*wording, *rooted, *started, *trials)
            }
            Self::Compared(facts) => facts.words(),
            Self::NobodyElse { arm, wording, rooted, started } => {
                format!("Treatment {arm}: {}", nobody_else(*wording, *rooted, *started))
            }
            Self::Stick { .. }
            | Self::SeveralPlans { .. }
            | Self::Apart(_)
            | Self::Bold(_)
            | Self::Try { .. } => Of(self).of_a_plan(),
            _ => Of(self).beside(),
        }
    }
}

impl Of<'_, AnswerSaid> {
    fn of_a_plan(&self) -> String {
        match self.0 {
            AnswerSaid::Stick { facts, expense } => number_to_start(facts, expense.as_ref()),
            AnswerSaid::SeveralPlans { wording, want, sure, methods, sticks } => {
                several_plans(*wording, *want, *sure, *methods, sticks)
            }
            AnswerSaid::Apart(facts) => facts.words(),
            AnswerSaid::Bold(facts) => facts.words(),
            AnswerSaid::Try { method, facts, role } => worth_a_try(facts, *role, method),
            _ => String::new(),
        }
    }

    /// Why there is no answer, and what else to know.
    fn beside(&self) -> String {
        match self.0 {
            AnswerSaid::NobodyAskedFor { species, whose, outside } => {
                nobody_asked_for(species, *whose, *outside)
            }
            AnswerSaid::NoEvidence { species, suggestions, species_held } => {
                no_evidence(species, suggestions, *species_held)
            }
            AnswerSaid::FilteredAway { species, filters } => {
                let said = filters.iter().map(|filter| format!("{} {}", detail(&filter.facet), filter.value));
                filtered_away(species, &said.collect::<Vec<_>>().join(", "))
            }
            AnswerSaid::NothingCounted { species, count, pending } => {
                nothing_counted(species, &of_any(*count), *pending)
            }
            AnswerSaid::Behind(facts) => facts.words(),
            AnswerSaid::Learnt { state, trials, of_trials, species, fit_age } => {
                learnt(*state, [*trials, *of_trials, *species], *fit_age)
            }
            AnswerSaid::NotLearnt => borrowed::not_taught(&any_kind()),
            AnswerSaid::StrangersOnly { methods } => strangers_only(*methods),
            AnswerSaid::CircleDiffers { method } => circle_differs(method.as_deref()),
            AnswerSaid::OutsideOnly { methods } => outside_only(*methods),
            AnswerSaid::OthersOutside { trials } => others_outside(*trials),
            AnswerSaid::SilentTrials { silent } => silent_trials(*silent),
            AnswerSaid::RankNothing { arms } => rank_nothing(*arms),
            AnswerSaid::FalseFlags => flags_by_chance(),
            AnswerSaid::RankedAcrossGrowers => planning::across_growers(&any_kind()),
            AnswerSaid::UnusedColumns { columns } => format!("columns not used: {}", columns.join(", ")),
            AnswerSaid::NoSite { growers } => format!("growers without a site: {}", growers.join(", ")),
            _ => self.always().to_owned(),
        }
    }

    /// Words without a number.
    fn always(&self) -> &'static str {
        match self.0 {
            AnswerSaid::FitFailed => FIT_FAILED,
            AnswerSaid::NeverSideBySide => NEVER_SIDE_BY_SIDE,

            AnswerSaid::SeveralPots => SEVERAL_POTS,
            AnswerSaid::LeftOut { why } => left_out(*why),
            _ => "",
        }
    }
}

/// How far learning from other plants is; a failure is said where the answer warns.
fn learnt(state: LearntState, [trials, of_trials, species]: [usize; 3], age: Option<u64>) -> String {
    let kind = any_kind();
    let said = match state {
        LearntState::Working => borrowed::teaching_under_way(&kind),
        LearntState::TooMuch => borrowed::teaching_too_much(&kind),
        LearntState::Nothing => borrowed::teaching_nothing(&kind),
        LearntState::Little => borrowed::teaching_little(&kind, trials, species),
        LearntState::Learnt => borrowed::taught(&kind, trials, of_trials, species),
        LearntState::Failed => String::new(),
    };
    [said]
        .into_iter()
        .chain(age.map(|minutes| borrowed::taught_before(&kind, minutes)))
        .collect::<Vec<_>>()
        .join(" ")
}

/// A question in words for pieces of any kind.
fn of_any(count: Question) -> String {
    question_words(Wording::new(Family::Mixed, count.outcome), count.stage)
}
