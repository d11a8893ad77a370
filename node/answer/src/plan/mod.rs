//! Planning: how many to start, how many to tell two methods apart, what to try next.
//!
//! A number to start comes from the predictive law of the reader's next trial: with own counts the law of their own
//! level, else that of a grower not seen before. Where nothing ever succeeded there is no number, only what a bold arm
//! could show.

mod apart;
mod bold;
mod growers;
mod method;
mod separable;
mod shape;
#[cfg(test)]
mod tests;
mod tries;

use propagule_analysis::rate;

pub use apart::{MOST_IN_ARM, MOST_POTS};
pub use growers::GROWERS_TRIED;
pub use method::OUTCOMES;
pub use shape::{
    BoldArm, Expense, GrowersOrPieces, InPots, MethodPlan, OwnCounts, PlanAnswer, TellApart, Try,
};
pub use tries::{MethodCounts, Pooled, partially_pooled};

use super::pool::{PoolRequest, nothing_to_answer};
use super::words::{self, Wording};
use super::{AnswerError, Source, Warning};
use method::Planned;
use propagule_evidence::{Evidence, Grouping, LeftOut, MethodGroup, Question, Whose, group};

/// How the pieces of each arm stand in a trial of two arms.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Layout {
    /// Nothing is said: in pots of a usual size.
    NotSaid,
    /// In so many pots of so many pieces.
    Pots {
        /// Pots of each arm.
        pots: u32,
        /// Pieces in each.
        pieces: u32,
    },
    /// Each piece by itself.
    Pieces,
}

/// What is asked.
#[derive(Clone, Debug)]
pub struct PlanRequest {
    /// Species, as asked for.
    pub species: String,
    /// Network or file.
    pub source: Source,
    /// Whose records count.
    pub whose: Whose,
    /// Trials of others that are held and not asked for.
    pub outside: usize,
    /// Until when the data reach, as text.
    pub data_until: Option<String>,
    /// Successes wanted, at least 1.
    pub want: u32,
    /// With which probability, above 0 and below 1.
    pub sure: f64,
    /// Pieces that can be spared for one trial; half of them go into each of two arms.
    pub pieces: Option<u32>,
    /// How the pieces of an arm stand.
    pub layout: Layout,
    /// Money a piece, in the reader's own currency.
    pub cost: Option<f64>,
    /// Minutes a piece.
    pub minutes: Option<f64>,
    /// Stage and outcome.
    pub question: Question,
    /// Methods.
    pub grouping: Grouping,
    /// Model.
    pub model: rate::Options,
    /// Species that are held, for "did you mean".
    pub species_held: Vec<String>,
}

impl PlanRequest {
    /// The default plan for a species held by this node: 5 rooted with a chance of 80 %.
    pub fn new(species: impl Into<String>) -> Self {
        Self {
            species: species.into(),
            source: Source::Network,
            whose: Whose::Everybody,
            outside: 0,
            data_until: None,
            want: 5,
            sure: 0.8,
            pieces: None,
            layout: Layout::NotSaid,
            cost: None,
            minutes: None,
            question: Question::default(),
            grouping: Grouping::default(),
            model: rate::Options::default(),
            species_held: Vec::new(),
        }
    }

    /// The same evidence as a question about rates.
    fn as_pool(&self) -> PoolRequest {
        PoolRequest {
            source: self.source,
            whose: self.whose,
            outside: self.outside,
            question: self.question,
            grouping: self.grouping.clone(),
            model: self.model,
            species_held: self.species_held.clone(),
            ..PoolRequest::new(self.species.clone())
        }
    }
}

/// Plans from evidence; rows of the reader must be marked [`propagule_evidence::EvidenceRow::own`].
///
/// # Errors
/// [`AnswerError::Fit`] where the model refuses the counts.
pub fn plan(evidence: &Evidence, request: &PlanRequest) -> Result<PlanAnswer, AnswerError> {
    let mut left_out = evidence.left_out.clone();
    let counted = evidence.rows.iter().filter(|row| !row.pending);
    let groups = group(counted, &request.grouping, &mut left_out);
    let planned = in_parallel(&groups, |group| method::planned(group, request))?;
    let mut answer = empty_answer(evidence, request, left_out);
    answer.tell_apart = apart::tell_apart(&planned, request);
    answer.growers_or_pieces = growers::growers_or_pieces(&planned, request);
    answer.bold_arm = bold::bold_arm(&planned, request);
    let confounded = separable::confounded(&groups);
    answer.next = tries::next_tries(&groups, &confounded, &planned, request)?;
    if request.question.ranks_methods() && !confounded.is_empty() {
        answer.warnings.push(Warning::new("confounded", words::rank_nothing(confounded.len())));
    }
    answer.methods = planned.into_iter().map(|planned| planned.plan).collect();
    Ok(with_words(answer, evidence, request))
}

/// Applies `work` to every item on as many threads as there are processors, results in the order of the items.
pub(super) fn in_parallel<T: Sync, U: Send>(
    items: &[T],
    work: impl Fn(&T) -> Result<U, AnswerError> + Sync,
) -> Result<Vec<U>, AnswerError> {
    crate::parallel::map(items, work).into_iter().collect()
}

fn empty_answer(evidence: &Evidence, request: &PlanRequest, left_out: Vec<LeftOut>) -> PlanAnswer {
    let filters = &request.grouping.filters;
    PlanAnswer {
        format: "propagule.plan/1",
        species: request.species.clone(),
        source: request.source,
        whose: request.whose,
        data_until: request.data_until.clone(),
        stage: request.question.stage,
        outcome: request.question.outcome,
        by: request.grouping.by_words(),
        filters: filters.iter().map(|filter| (filter.facet.clone(), filter.value.clone())).collect(),
        want: request.want,
        sure: request.sure,
        sentence: String::new(),
        methods: Vec::new(),
        tell_apart: Vec::new(),
        bold_arm: None,
        growers_or_pieces: Vec::new(),
        next: Vec::new(),
        left_out,
        warnings: evidence.notes.iter().map(|(code, text)| Warning::new(code, text.clone())).collect(),
        suggestions: Vec::new(),
    }
}

fn with_words(mut answer: PlanAnswer, evidence: &Evidence, request: &PlanRequest) -> PlanAnswer {
    if answer.methods.is_empty() {
        let nothing = nothing_to_answer(evidence, &request.as_pool());
        answer.sentence.clone_from(&nothing.sentence);
        answer.suggestions = nothing.suggestions;
        answer.warnings.push(Warning::new(nothing.code, nothing.sentence));
        return answer;
    }
    answer.sentence = match answer.methods.as_slice() {
        [only] => only.sentence.clone(),
        several => {
            let wording = Wording::new(words::Family::Mixed, request.question.outcome);
            let sticks: Vec<u32> = several.iter().filter_map(|method| method.stick).collect();
            words::several_plans(wording, request.want, request.sure, several.len(), &sticks)
        }
    };
    if answer.next.len() > 1 {
        answer.warnings.push(Warning::new("ranked_across_growers", words::RANKED_ACROSS_GROWERS));
    }
    if answer.tell_apart.iter().any(|row| row.first.is_some()) {
        answer.warnings.push(Warning::new("several_pots", words::SEVERAL_POTS));
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
