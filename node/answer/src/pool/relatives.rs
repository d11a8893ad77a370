//! What other plants teach about each method, and about those that nobody has tried.

use std::collections::BTreeSet;

use super::method::Alone;
use super::{BorrowedAnswer, MethodAnswer, NeverTriedAnswer, PoolAnswer};
use crate::Warning;
use crate::learnt::{Kind, Learnt, Taught};
use crate::parallel;
use crate::question::{Asked, Given, PoolQuestion};
use crate::said::{AnswerSaid, BorrowedFacts, RateFacts, Rates, Wording};
use propagule_analysis::FitError;
use propagule_evidence::MethodGroup;

/// Puts what was learnt in the place of what each method says alone, which stands beside it; adds methods never tried.
pub(super) fn add(
    answer: &mut PoolAnswer,
    groups: &[MethodGroup<'_>],
    alone: &[Alone],
    asked: &Asked<'_, PoolQuestion>,
) {
    answer.learnt = asked.given.learning.shown();
    let Some((learnt, species)) = asked.given.learning.learnt() else { return };
    let Ok(taught) = taught(learnt, species, groups, alone) else { return fails(answer) };
    let Ok(never_tried) = never_tried(learnt, species, groups, asked) else { return fails(answer) };
    for (method, taught) in answer.methods.iter_mut().zip(taught) {
        if let Some(taught) = taught {
            borrow(method, &taught, asked.given);
        }
    }
    if answer.learnt.as_ref().is_some_and(|learnt| learnt.state.has_failed()) {
        return fails(answer);
    }
    answer.never_tried = never_tried;
}

/// Nothing is said that rests on a fit which did not settle.
fn fails(answer: &mut PoolAnswer) {
    answer.warnings.push(Warning::new("fit_failed", AnswerSaid::NotLearnt));
}

fn taught(
    learnt: &Learnt,
    species: &str,
    groups: &[MethodGroup<'_>],
    alone: &[Alone],
) -> Result<Vec<Option<Taught>>, FitError> {
    let of = |(group, alone): &(&MethodGroup<'_>, &Alone)| {
        learnt.teach(species, (group.family, &group.facets), &alone.own())
    };
    parallel::map(&groups.iter().zip(alone).collect::<Vec<_>>(), of).into_iter().collect()
}

/// By kinds that were tried with the species, or where none was, with its relatives.
fn never_tried(
    learnt: &Learnt,
    species: &str,
    groups: &[MethodGroup<'_>],
    asked: &Asked<'_, PoolQuestion>,
) -> Result<Vec<NeverTriedAnswer>, FitError> {
    if !asked.question.count.ranks_methods() {
        return Ok(Vec::new());
    }
    let kinds: BTreeSet<Kind> = learnt.kinds_of(species);
    let tried: BTreeSet<&str> = groups.iter().map(|group| group.label.as_str()).collect();
    let lines = learnt.never_tried(species, &kinds)?;
    let lines = lines.into_iter().filter(|line| !tried.contains(line.label.as_str()));
    let answer = |line: crate::learnt::NeverTried| {
        let borrowed = borrowed(&line.taught, asked.given);
        let expected = &line.taught.expected;
        let wording = Wording::new(line.family, asked.question.count.outcome);
        let facts = facts(&borrowed, &line.taught);
        NeverTriedAnswer {
            sentence: AnswerSaid::NeverTried {
                wording,
                rates: Rates::from(&expected.summary),
                trials_of_genus: facts.relative_trials_genus,
                trials_of_method: facts.relative_trials_method,
            },
            method: line.label,
            facets: line.facets,
            family: line.family,
            law: expected.laws,
            fit: expected.summary.clone(),
            borrowed,
        }
    };
    Ok(lines.map(answer).collect())
}

fn borrow(method: &mut MethodAnswer, taught: &Taught, given: &Given) {
    let borrowed = borrowed(taught, given);
    let facts = facts(&borrowed, taught);
    let led = taught.led(given.has_strangers());
    method.fit = led.clone();
    method.without = Some(taught.expected.without.clone());
    method.law = Some(taught.expected.laws);
    method.borrowed = Some(borrowed);
    if let AnswerSaid::Rate(said) = &mut method.sentence {
        **said = RateFacts { rates: Rates::from(led), borrowed: Some(facts), ..**said };
    }
}

fn borrowed(taught: &Taught, given: &Given) -> BorrowedAnswer {
    let expected = &taught.expected;
    BorrowedAnswer {
        own_trials: expected.own_trials,
        own_growers: expected.own_growers,
        relative_trials_genus: taught.trials_of_genus,
        relative_trials_method: taught.trials_of_method,
        prior_growers: expected.prior_growers,
        share: expected.share,
        conflict: expected.is_in_conflict,
        own_counts_lead: taught.own_counts_lead(given.has_strangers()),
    }
}

fn facts(borrowed: &BorrowedAnswer, taught: &Taught) -> BorrowedFacts {
    BorrowedFacts {
        relative_trials_genus: borrowed.relative_trials_genus,
        relative_trials_method: borrowed.relative_trials_method,
        prior_growers: borrowed.prior_growers,
        share: borrowed.share,
        conflict: borrowed.conflict,
        own_counts_lead: borrowed.own_counts_lead,
        without: Rates::from(&taught.expected.without),
    }
}
