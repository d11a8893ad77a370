//! Planning: how many to start, how many to tell two methods apart, what to try next.
//!
//! A number to start comes from the predictive law of the reader's next trial: with own counts the law of their own
//! level, else that of a grower not seen before. Where nothing ever succeeded there is no number, only what a bold arm
//! could show.

mod apart;
mod beside;
mod bold;
mod growers;
mod method;
mod separable;
mod shape;
#[cfg(test)]
mod tests;
mod tries;

pub use apart::{MOST_IN_ARM, MOST_POTS};
pub use growers::GROWERS_TRIED;
pub use method::OUTCOMES;
pub use shape::{Basis, BoldArm, GrowersOrPieces, MethodPlan, OwnCounts, PlanAnswer, TellApart, Try, WhyNot};
pub use tries::{MethodCounts, Pooled, partially_pooled};

use super::pool::nothing_to_answer;
use super::question::{Asked, Given, PlanQuestion, PoolQuestion};
use super::said::{AnswerSaid, Family, Wording};
use super::{AnswerError, NotCounted, Warning, notes};
use method::Planned;
use propagule_evidence::{Evidence, LeftOut, MethodGroup, group};

impl PlanQuestion {
    /// The same evidence as a question about rates.
    fn as_pool(&self) -> PoolQuestion {
        let Self { species, count, grouping, scope, .. } = self;
        let (grouping, scope, count) = (grouping.clone(), *scope, *count);
        PoolQuestion { count, grouping, scope, ..PoolQuestion::about(species.as_str()) }
    }
}

/// Plans from evidence; rows of the reader must be marked [`propagule_evidence::EvidenceRow::own`].
///
/// # Errors
/// [`AnswerError::Fit`] where the model refuses the counts.
pub fn plan(evidence: &Evidence, question: &PlanQuestion, given: &Given) -> Result<PlanAnswer, AnswerError> {
    let asked = &Asked { question, given };
    let mut left_out = evidence.left_out.clone();
    let counted = evidence.rows.iter().filter(|row| !row.pending);
    let groups = group(counted, &asked.question.grouping, &mut left_out);
    let planned = in_parallel(&groups, |group| method::planned(group, asked))?;
    let mut answer = empty_answer(evidence, asked, &left_out);
    answer.learnt = asked.given.learning.shown();
    if answer.learnt.as_ref().is_some_and(|learnt| learnt.state.has_failed()) {
        answer.warnings.push(Warning::new("fit_failed", AnswerSaid::NotLearnt));
    }
    answer.tell_apart = apart::tell_apart(&planned, asked);
    answer.growers_or_pieces = growers::growers_or_pieces(&planned, asked);
    answer.bold_arm = bold::bold_arm(&planned, asked);
    let confounded = separable::confounded(&groups);
    (answer.against, answer.next) = tries::next_tries(&groups, &confounded, &planned, asked)?;
    if asked.question.count.ranks_methods() && !confounded.is_empty() {
        answer.warnings.push(Warning::new("confounded", AnswerSaid::RankNothing { arms: confounded.len() }));
    }
    answer.methods = planned.into_iter().map(|planned| planned.plan).collect();
    Ok(with_words(answer, evidence, asked))
}

/// Applies `work` to every item on as many threads as there are processors, results in the order of the items.
pub(super) fn in_parallel<T: Sync, U: Send>(
    items: &[T],
    work: impl Fn(&T) -> Result<U, AnswerError> + Sync,
) -> Result<Vec<U>, AnswerError> {
    crate::parallel::map(items, work).into_iter().collect()
}

fn empty_answer(evidence: &Evidence, asked: &Asked<'_, PlanQuestion>, left_out: &[LeftOut]) -> PlanAnswer {
    let filters = &asked.question.grouping.filters;
    PlanAnswer {
        species: asked.question.species.clone(),
        source: asked.given.source,
        whose: asked.given.whose,
        behind: asked.given.behind.clone(),
        data_until: asked.given.data_until.clone(),
        stage: asked.question.count.stage,
        outcome: asked.question.count.outcome,
        by: asked.question.grouping.by_words(),
        filters: filters.iter().map(|filter| (filter.facet.clone(), filter.value.clone())).collect(),
        want: asked.question.aim.want,
        sure: asked.question.aim.sure.get(),
        sentence: AnswerSaid::Nothing,
        methods: Vec::new(),
        tell_apart: Vec::new(),
        bold_arm: None,
        growers_or_pieces: Vec::new(),
        against: None,
        next: Vec::new(),
        learnt: None,
        left_out: left_out.iter().map(NotCounted::from).collect(),
        warnings: notes(evidence),
        suggestions: Vec::new(),
        hidden_cautions: Vec::new(),
    }
}

fn with_words(mut answer: PlanAnswer, evidence: &Evidence, asked: &Asked<'_, PlanQuestion>) -> PlanAnswer {
    if answer.methods.is_empty() {
        let nothing =
            nothing_to_answer(evidence, &Asked { question: &asked.question.as_pool(), given: asked.given });
        answer.sentence.clone_from(&nothing.sentence);
        answer.suggestions = nothing.suggestions;
        answer.warnings.push(Warning::new(nothing.code, nothing.sentence));
        return answer;
    }
    answer.sentence = match answer.methods.as_slice() {
        [only] => only.sentence.clone(),
        several => AnswerSaid::SeveralPlans {
            wording: Wording::new(Family::Mixed, asked.question.count.outcome),
            want: answer.want,
            sure: answer.sure,
            methods: several.len(),
            sticks: several.iter().filter_map(|method| method.stick).collect(),
        },
    };
    if answer.against.is_some() {
        answer.warnings.push(Warning::new("ranked_across_growers", AnswerSaid::RankedAcrossGrowers));
    }
    if answer.tell_apart.iter().any(|row| row.first.is_some()) {
        answer.warnings.push(Warning::new("several_pots", AnswerSaid::SeveralPots));
    }
    answer
}

/// Methods by which something succeeded, the highest average rate first, `most` of them.
fn leading(planned: &[Planned], most: usize) -> Vec<&Planned> {
    let mut rooted: Vec<&Planned> = planned.iter().filter(|planned| planned.plan.rooted > 0).collect();
    rooted.sort_by(|a, b| {
        let rate = |planned: &Planned| planned.plan.fit.average_grower_rate_mean;
        rate(b).total_cmp(&rate(a)).then_with(|| a.plan.method.cmp(&b.plan.method))
    });
    rooted.truncate(most);
    rooted
}

/// Arms of the reader in a group.
fn own_rows<'a>(group: &MethodGroup<'a>) -> Vec<&'a propagule_evidence::EvidenceRow> {
    group.rows.iter().copied().filter(|row| row.own).collect()
}
