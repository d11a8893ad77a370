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
mod printed;
mod regrafts;
mod relatives;
mod shape;
mod strangers;
mod strata;
#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

use propagule_protocol::names;

pub use beside::{Beside, Cut};
pub use detail::OTHER_SCALES;
pub use facets::{CombinationAnswer, FacetAnswer, FacetsAnswer, LevelAnswer};
pub use lives::{MovedAnswer, WholeLifeAnswer};
pub use printed::{
    CitedAnswer, EditionAnswer, PrintGiven, PrintedAnswer, PrintedMethodAnswer, PrintedPool,
    PrintedRowAnswer, PrintedShow, printed,
};
pub use regrafts::RegraftsAnswer;
pub use shape::{
    AuthorInfluence, BorrowedAnswer, Classical, ClassicalRate, ContrastAnswer, Detail, EverybodyAnswer,
    Influence, MethodAnswer, NetworkAnswer, NeverTriedAnswer, PoolAnswer, Sensitivity, ShrunkAnswer,
    TogetherAnswer, VouchInfluence,
};

use super::question::{Asked, PoolQuestion};
use super::said::AnswerSaid;
use super::{AnswerError, NotCounted, Warning, notes};
use propagule_evidence::{Evidence, EvidenceRow, Filter, LeftOut, MethodGroup, WhyLeftOut, group};
use propagule_files::closest;

/// Pools evidence with nothing beside it.
///
/// # Errors
/// [`AnswerError::Fit`] where the model refuses the counts.
pub fn pool(evidence: &Evidence, question: &PoolQuestion) -> Result<PoolAnswer, AnswerError> {
    pool_beside(evidence, &Beside::default(), question)
}

/// Pools the evidence of some growers, with everybody's beside it.
///
/// # Errors
/// [`AnswerError::Fit`] where the model refuses the counts.
pub fn pool_beside(
    evidence: &Evidence,
    beside: &Beside<'_>,
    question: &PoolQuestion,
) -> Result<PoolAnswer, AnswerError> {
    let asked = &Asked { question, given: &beside.given };
    let mut left_out = evidence.left_out.clone();
    let counted = evidence.rows.iter().filter(|row| !row.pending);
    let counted = group(counted, &asked.question.grouping, &mut left_out);
    let pending = pending_trials(&evidence.rows);
    if pending > 0 {
        left_out.push(LeftOut { why: WhyLeftOut::NotCountedYet, count: pending });
    }
    let silent = silent_groups(&counted, evidence, asked);
    let (mut methods, alone) = method::method_answers(&counted, &silent, asked)?;
    lives::add_lives(&mut methods, &counted, evidence, asked);
    let mut warnings = match beside.everybody {
        Some(everybody) if !methods.is_empty() => beside::add_everybody(&mut methods, everybody, asked)?,
        _ => Vec::new(),
    };
    if let Some(with_new) = beside.with_new {
        warnings.extend(strangers::add_with_new(&mut methods, with_new, asked)?);
    }
    let contrasts = contrast::contrasts(&counted, &evidence.rows, asked)?;
    if contrasts.is_unfitted {
        warnings.push(Warning::new("fit_failed", AnswerSaid::FitFailed));
    }
    let answer = PoolAnswer {
        together: contrast::together(&counted, asked),
        components: links::components(&counted),
        methods_without_information: links::without_information(&counted),
        network: network::network(&counted, &evidence.rows, asked)?,
        facets: facets::facets(&counted, &contrasts, asked)?,
        detail: if asked.question.detail { Some(detail::details(&counted, asked)?) } else { None },
        influence: if asked.question.detail { Some(influence::influence(&counted, asked)?) } else { None },
        authors: if asked.question.detail { Some(beside::authors(&counted, asked)?) } else { None },
        vouches: if asked.question.detail {
            Some(beside::vouches(&counted, &beside.cuts, asked)?)
        } else {
            None
        },
        contrasts: contrasts.answers,
        ..empty_answer(evidence, asked)
    };
    let mut answer =
        PoolAnswer { methods, left_out: left_out.iter().map(NotCounted::from).collect(), ..answer };
    answer.warnings.extend(warnings);
    relatives::add(&mut answer, &counted, &alone, asked);
    Ok(with_words(answer, evidence, asked))
}

/// For each group its silent arms: opened on the network and overdue.
fn silent_groups<'a>(
    counted: &[MethodGroup<'_>],
    evidence: &'a Evidence,
    asked: &Asked<'_, PoolQuestion>,
) -> Vec<Vec<&'a EvidenceRow>> {
    let silent = evidence.rows.iter().filter(|row| row.flags.silent);
    let silent = group(silent, &asked.question.grouping, &mut Vec::new());
    let of = |label: &str| silent.iter().find(|group| group.label == label).map(|group| group.rows.clone());
    counted.iter().map(|group| of(&group.label).unwrap_or_default()).collect()
}

fn empty_answer(evidence: &Evidence, asked: &Asked<'_, PoolQuestion>) -> PoolAnswer {
    let filters = &asked.question.grouping.filters;
    PoolAnswer {
        species: asked.question.species.clone(),
        source: asked.given.source,
        whose: asked.given.whose,
        behind: asked.given.behind.clone(),
        data_until: asked.given.data_until.clone(),
        stage: asked.question.count.stage,
        outcome: asked.question.count.outcome,
        by: asked.question.grouping.by_words(),
        filters: filters.iter().map(|filter| (filter.facet.clone(), filter.value.clone())).collect(),
        sentence: AnswerSaid::Nothing,
        methods: Vec::new(),
        never_tried: Vec::new(),
        learnt: None,
        contrasts: Vec::new(),
        together: Vec::new(),
        components: Vec::new(),
        methods_without_information: Vec::new(),
        network: None,
        facets: None,
        facets_asked: asked.question.facets.is_some(),
        silence: evidence.silence,
        influence: None,
        authors: None,
        vouches: None,
        detail: None,
        left_out: Vec::new(),
        regrafts: regrafts::regrafts(&evidence.regrafts, asked),
        warnings: notes(evidence),
        suggestions: Vec::new(),
        printed: None,
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

fn with_words(mut answer: PoolAnswer, evidence: &Evidence, asked: &Asked<'_, PoolQuestion>) -> PoolAnswer {
    if answer.methods.is_empty() {
        return with_nothing(answer, evidence, asked);
    }
    if let Some(silence) = answer.silence.filter(|silence| silence.silent > 0) {
        answer
            .warnings
            .push(Warning::new("silent_trials", AnswerSaid::SilentTrials { silent: silence.silent }));
    }
    if answer.components.len() > 1 {
        answer.warnings.push(Warning::new("not_side_by_side", AnswerSaid::NeverSideBySide));
    }
    answer.sentence = match answer.methods.as_slice() {
        [only] => only.sentence.clone(),
        several => several_methods(several, asked),
    };
    answer
}

fn several_methods(methods: &[MethodAnswer], asked: &Asked<'_, PoolQuestion>) -> AnswerSaid {
    AnswerSaid::SeveralMethods {
        methods: methods.len(),
        rooted: methods.iter().map(|method| u64::from(method.rooted)).sum(),
        started: methods.iter().map(|method| u64::from(method.started)).sum(),
        count: asked.question.count,
    }
}

/// Why there is no answer.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Nothing {
    pub(super) code: &'static str,
    pub(super) sentence: AnswerSaid,
    pub(super) suggestions: Vec<String>,
}

/// What to say when no arm is counted.
pub(super) fn nothing_to_answer(evidence: &Evidence, asked: &Asked<'_, PoolQuestion>) -> Nothing {
    let (species, given) = (asked.question.species.clone(), asked.given);
    if let Some(behind) = given.behind.as_ref().filter(|behind| behind.gives_nothing()) {
        let (code, sentence) = ("nobody_stands_behind_it", behind.sentence.clone());
        return Nothing { code, sentence, suggestions: Vec::new() };
    }
    if evidence.rows.is_empty() && given.outside > 0 {
        let (whose, outside) = (given.whose, given.outside);
        let sentence = AnswerSaid::NobodyAskedFor { species, whose, outside };
        return Nothing { code: "nobody_asked_for", sentence, suggestions: Vec::new() };
    }
    if evidence.rows.is_empty() && evidence.left_out.is_empty() {
        let held = given.species_held.iter().map(String::as_str);
        let suggestions = closest(&species, held.chain(names::suggest(&species)), 3);
        let species_held = given.species_held.len();
        let sentence = AnswerSaid::NoEvidence { species, suggestions: suggestions.clone(), species_held };
        return Nothing { code: "no_evidence", sentence, suggestions };
    }
    let pending = pending_trials(&evidence.rows);
    // Of several filters by one facet the last one counts.
    let filters = asked.question.grouping.filters.iter().map(|filter| (&filter.facet, filter));
    let filters: BTreeMap<&String, &Filter> = filters.collect();
    let sentence = if pending == 0 && !filters.is_empty() {
        AnswerSaid::FilteredAway { species, filters: filters.into_values().cloned().collect() }
    } else {
        AnswerSaid::NothingCounted { species, count: asked.question.count, pending }
    };
    Nothing { code: "nothing_counted", sentence, suggestions: Vec::new() }
}

fn with_nothing(mut answer: PoolAnswer, evidence: &Evidence, asked: &Asked<'_, PoolQuestion>) -> PoolAnswer {
    let nothing = nothing_to_answer(evidence, asked);
    answer.warnings.push(Warning::new(nothing.code, nothing.sentence.clone()));
    answer.sentence = nothing.sentence;
    answer.suggestions = nothing.suggestions;
    answer
}
