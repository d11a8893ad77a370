//! Pooled rates of one species: methods, contrasts, what was left out.

mod beside;
mod contrast;
mod detail;
mod facets;
mod influence;
mod links;
mod lives;
mod method;
mod network;
mod regrafts;
mod shape;
#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

use propagule_analysis::rate;
use propagule_protocol::names;

pub use beside::{Beside, Cut};
pub use detail::OTHER_SCALES;
pub use facets::{CombinationAnswer, FacetAnswer, FacetsAnswer, LevelAnswer};
pub use lives::{MovedAnswer, WholeLifeAnswer};
pub use regrafts::RegraftsAnswer;
pub use shape::{
    AuthorInfluence, Classical, ClassicalRate, ContrastAnswer, Detail, EverybodyAnswer, Influence,
    MethodAnswer, NetworkAnswer, PoolAnswer, Sensitivity, TogetherAnswer, VouchInfluence,
};

use super::words::{self, Family, Wording};
use super::{AnswerError, Source, Warning};
use propagule_evidence::{Evidence, EvidenceRow, Grouping, LeftOut, MethodGroup, Question, Whose, group};
use propagule_files::closest;

/// What is asked.
#[derive(Clone, Debug)]
pub struct PoolRequest {
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
    /// Stage and outcome.
    pub question: Question,
    /// Methods.
    pub grouping: Grouping,
    /// Model.
    pub model: rate::Options,
    /// Whether to leave growers out one by one.
    pub detail: bool,
    /// Facets to take together in one model, none named meaning the usual ones; `None` where it is not asked for.
    pub facets: Option<Vec<String>>,
    /// Whether trials with one replicate an arm say nothing about contrasts.
    pub replicated_only: bool,
    /// Species that are held, for "did you mean".
    pub species_held: Vec<String>,
}

impl PoolRequest {
    /// The default question about a species held by this node.
    pub fn new(species: impl Into<String>) -> Self {
        Self {
            species: species.into(),
            source: Source::Network,
            whose: Whose::Everybody,
            outside: 0,
            data_until: None,
            question: Question::default(),
            grouping: Grouping::default(),
            model: rate::Options::default(),
            detail: false,
            facets: None,
            replicated_only: false,
            species_held: Vec::new(),
        }
    }
}

/// Pools evidence with nothing beside it.
///
/// # Errors
/// [`AnswerError::Fit`] where the model refuses the counts.
pub fn pool(evidence: &Evidence, request: &PoolRequest) -> Result<PoolAnswer, AnswerError> {
    pool_beside(evidence, &Beside::default(), request)
}

/// Pools the evidence of some growers, with everybody's beside it.
///
/// # Errors
/// [`AnswerError::Fit`] where the model refuses the counts.
pub fn pool_beside(
    evidence: &Evidence,
    beside: &Beside<'_>,
    request: &PoolRequest,
) -> Result<PoolAnswer, AnswerError> {
    let mut left_out = evidence.left_out.clone();
    let counted = evidence.rows.iter().filter(|row| !row.pending);
    let counted = group(counted, &request.grouping, &mut left_out);
    let pending = pending_trials(&evidence.rows);
    if pending > 0 {
        left_out.push(LeftOut { reason: "trials not counted at this stage yet".to_owned(), count: pending });
    }
    let silent = silent_groups(&counted, evidence, request);
    let mut methods = method::method_answers(&counted, &silent, request)?;
    lives::add_lives(&mut methods, &counted, evidence, request);
    let mut warnings = match beside.everybody {
        Some(everybody) if !methods.is_empty() => beside::add_everybody(&mut methods, everybody, request)?,
        _ => Vec::new(),
    };
    let network = network::network(&counted, request)?;
    if network.is_some() && network::leaves_parts_out(&counted) {
        warnings.push(Warning::new("part_not_joined", words::PART_NOT_JOINED));
    }
    let answer = PoolAnswer {
        contrasts: contrast::contrasts(&counted, &evidence.rows, request)?,
        together: contrast::together(&counted, request),
        components: links::components(&counted),
        methods_without_information: links::without_information(&counted),
        network,
        facets: facets::facets(&counted, request)?,
        detail: if request.detail { Some(detail::details(&counted, request)?) } else { None },
        influence: if request.detail { Some(influence::influence(&counted, request)?) } else { None },
        authors: if request.detail { Some(beside::authors(&counted, request)?) } else { None },
        vouches: if request.detail { Some(beside::vouches(&counted, &beside.cuts, request)?) } else { None },
        ..empty_answer(evidence, request)
    };
    let mut answer = PoolAnswer { methods, left_out, ..answer };
    answer.warnings.extend(warnings);
    Ok(with_words(answer, evidence, request))
}

/// For each group its silent arms: opened on the network and overdue.
fn silent_groups<'a>(
    counted: &[MethodGroup<'_>],
    evidence: &'a Evidence,
    request: &PoolRequest,
) -> Vec<Vec<&'a EvidenceRow>> {
    let silent = evidence.rows.iter().filter(|row| row.flags.silent);
    let silent = group(silent, &request.grouping, &mut Vec::new());
    let of = |label: &str| silent.iter().find(|group| group.label == label).map(|group| group.rows.clone());
    counted.iter().map(|group| of(&group.label).unwrap_or_default()).collect()
}

fn empty_answer(evidence: &Evidence, request: &PoolRequest) -> PoolAnswer {
    let filters = &request.grouping.filters;
    PoolAnswer {
        format: "propagule.pool/1",
        species: request.species.clone(),
        source: request.source,
        whose: request.whose,
        data_until: request.data_until.clone(),
        stage: request.question.stage,
        outcome: request.question.outcome,
        by: request.grouping.by_words(),
        filters: filters.iter().map(|filter| (filter.facet.clone(), filter.value.clone())).collect(),
        sentence: String::new(),
        methods: Vec::new(),
        contrasts: Vec::new(),
        together: Vec::new(),
        components: Vec::new(),
        methods_without_information: Vec::new(),
        network: None,
        facets: None,
        facets_asked: request.facets.is_some(),
        silence: evidence.silence,
        influence: None,
        authors: None,
        vouches: None,
        detail: None,
        left_out: Vec::new(),
        regrafts: regrafts::regrafts(&evidence.regrafts, request),
        warnings: evidence.notes.iter().map(|(code, text)| Warning::new(code, text.clone())).collect(),
        suggestions: Vec::new(),
    }
}

/// Trials of which no arm is counted at this stage.
fn pending_trials(rows: &[EvidenceRow]) -> usize {
    let trials = |pending: bool| {
        rows.iter()
            .filter(move |row| row.pending == pending)
            .map(|row| row.trial.as_str())
            .collect::<std::collections::BTreeSet<_>>()
    };
    let counted = trials(false);
    trials(true).iter().filter(|trial| !counted.contains(*trial)).count()
}

fn with_words(mut answer: PoolAnswer, evidence: &Evidence, request: &PoolRequest) -> PoolAnswer {
    if answer.methods.is_empty() {
        return with_nothing(answer, evidence, request);
    }
    if let Some(silence) = answer.silence.filter(|silence| silence.silent > 0) {
        answer.warnings.push(Warning::new("silent_trials", words::silent_trials(silence.silent)));
    }
    if answer.components.len() > 1 {
        answer.warnings.push(Warning::new("not_side_by_side", words::NEVER_SIDE_BY_SIDE));
    }
    answer.sentence = match answer.methods.as_slice() {
        [only] => only.sentence.clone(),
        several => several_methods(several, request),
    };
    answer
}

/// Words for pieces of any kind.
fn mixed(request: &PoolRequest) -> Wording {
    Wording::new(Family::Mixed, request.question.outcome)
}

fn several_methods(methods: &[MethodAnswer], request: &PoolRequest) -> String {
    let question = words::question_words(mixed(request), request.question.stage);
    let started: u64 = methods.iter().map(|method| u64::from(method.started)).sum();
    let rooted: u64 = methods.iter().map(|method| u64::from(method.rooted)).sum();
    words::several_methods(methods.len(), rooted, started, &question)
}

/// Why there is no answer, in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Nothing {
    pub(super) code: &'static str,
    pub(super) sentence: String,
    pub(super) suggestions: Vec<String>,
}

/// What to say when no arm is counted.
pub(super) fn nothing_to_answer(evidence: &Evidence, request: &PoolRequest) -> Nothing {
    let species = &request.species;
    if evidence.rows.is_empty() && request.outside > 0 {
        let sentence = words::nobody_asked_for(species, request.whose, request.outside);
        return Nothing { code: "nobody_asked_for", sentence, suggestions: Vec::new() };
    }
    if evidence.rows.is_empty() && evidence.left_out.is_empty() {
        let held = request.species_held.iter().map(String::as_str);
        let suggestions = closest(species, held.chain(names::suggest(species)), 3);
        let sentence = words::no_evidence(species, &suggestions, request.species_held.len());
        return Nothing { code: "no_evidence", sentence, suggestions };
    }
    let pending = pending_trials(&evidence.rows);
    let filters = request.grouping.filters.iter();
    let filters: BTreeMap<&str, &str> = filters.map(|f| (f.facet.as_str(), f.value.as_str())).collect();
    let filters: Vec<String> = filters.iter().map(|(facet, value)| format!("{facet} {value}")).collect();
    let sentence = if pending == 0 && !filters.is_empty() {
        words::filtered_away(species, &filters.join(", "))
    } else {
        let question = words::question_words(mixed(request), request.question.stage);
        words::nothing_counted(species, &question, pending)
    };
    Nothing { code: "nothing_counted", sentence, suggestions: Vec::new() }
}

fn with_nothing(mut answer: PoolAnswer, evidence: &Evidence, request: &PoolRequest) -> PoolAnswer {
    let nothing = nothing_to_answer(evidence, request);
    answer.warnings.push(Warning::new(nothing.code, nothing.sentence.clone()));
    answer.sentence = nothing.sentence;
    answer.suggestions = nothing.suggestions;
    answer
}
