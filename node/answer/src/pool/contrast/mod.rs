//! Facets that differ alone between arms of one trial, and what those trials say together.
//!
//! Two arms are compared when exactly one facet differs and both words are known. A facet that neither arm states
//! is taken as the same, since both stood in one trial; one that only one of them states is not. Arms moved apart,
//! started in different months or set apart by an unlisted difference are never compared, nor are lots (no question
//! was asked) or arms whose stock plants were split unevenly.

mod judged;
mod shrunk;
#[cfg(test)]
mod tests;
mod together;

use std::collections::{BTreeMap, BTreeSet};

use propagule_analysis::contrast::{ContrastFit, Options, TrialPair, stratified};
use propagule_analysis::verdict::{Design, Held, pooled};

use crate::AnswerError;
use crate::pool::{ContrastAnswer, TogetherAnswer};
use crate::question::{Asked, PoolQuestion};
use crate::said::{AnswerSaid, ContrastFacts};
use judged::Seen;
use propagule_evidence::{EvidenceRow, GROWER_CAP, MethodGroup};
pub(in crate::pool) use shrunk::{ShrunkFacet, shrunk_facets};

/// Which words of which facet: the first word sorts before the second.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Sides {
    facet: String,
    first: String,
    second: String,
}

/// Arms on the two sides in one trial, by their position among the trial's arms.
#[derive(Clone, Debug, Default)]
struct TrialSides {
    first: BTreeSet<usize>,
    second: BTreeSet<usize>,
}

/// Pairs, and what the engine makes of the facets that they are pairs of.
#[derive(Debug, Default)]
pub(in crate::pool) struct Contrasts {
    /// Sorted by facet and words.
    pub(in crate::pool) answers: Vec<ContrastAnswer>,
    /// Those of which several pairs were held, and those asked for by name.
    pub(in crate::pool) facets: BTreeMap<String, ShrunkFacet>,
    /// The engine did not converge: nothing is claimed of several pairs.
    pub(in crate::pool) is_unfitted: bool,
}

/// Contrasts of all facets.
pub(in crate::pool) fn contrasts(
    groups: &[MethodGroup<'_>],
    evidence: &[EvidenceRow],
    asked: &Asked<'_, PoolQuestion>,
) -> Result<Contrasts, AnswerError> {
    let rows: Vec<&EvidenceRow> = groups.iter().flat_map(|group| group.rows.iter().copied()).collect();
    contrasts_of(&rows, &evidence.iter().collect::<Vec<_>>(), asked)
}

/// Contrasts of these rows, of which `evidence` holds those that are not counted yet as well.
pub(in crate::pool) fn contrasts_of(
    rows: &[&EvidenceRow],
    evidence: &[&EvidenceRow],
    asked: &Asked<'_, PoolQuestion>,
) -> Result<Contrasts, AnswerError> {
    if !asked.question.count.ranks_methods() {
        return Ok(Contrasts::default());
    }
    let trials = by_trial(rows.iter().copied(), asked.question.replicated_only);
    let mut found: BTreeMap<Sides, BTreeMap<&str, TrialSides>> = BTreeMap::new();
    for (trial, arms) in &trials {
        for (sides, first, second) in pairs(arms) {
            let entry = found.entry(sides).or_default().entry(trial).or_default();
            entry.first.insert(first);
            entry.second.insert(second);
        }
    }
    if asked.question.replicated_only {
        for by_trial in found.values_mut() {
            by_trial.retain(|trial, arms| !is_single(arms, &trials[trial]));
        }
        found.retain(|_, by_trial| !by_trial.is_empty());
    }
    let capped = asked.given.source.is_capped();
    let whole = by_trial(evidence.iter().copied(), false);
    let held = Trials { counted: &trials, whole: &whole };
    let found = found.iter().map(|(sides, by_trial)| contrast(sides, by_trial, &held, capped));
    let found: Vec<Contrast> = found.filter_map(Result::transpose).collect::<Result<_, AnswerError>>()?;
    let informative: BTreeSet<&str> =
        found.iter().flat_map(|contrast| contrast.informative.iter().copied()).collect();
    let rests_on_one_trial = informative.len() < 2;
    let mut answers: Vec<ContrastAnswer> = found.into_iter().map(|contrast| contrast.answer).collect();
    let names = answers.iter().map(|answer| answer.facet.as_str());
    let names: BTreeSet<&str> = if answers.len() > 1 { names.collect() } else { BTreeSet::new() };
    let fitted = shrunk_facets(&names, &trials, capped);
    let is_unfitted = fitted.is_err();
    let facets = fitted.unwrap_or_default();
    shrunk::allow_for_many(&mut answers, &facets, rests_on_one_trial);
    Ok(Contrasts { answers, facets, is_unfitted })
}

/// A pair, and the trials that say anything of it.
struct Contrast<'a> {
    answer: ContrastAnswer,
    informative: Vec<&'a str>,
}

/// Pairs of which several facets differ at once.
pub(in crate::pool) fn together(
    groups: &[MethodGroup<'_>],
    asked: &Asked<'_, PoolQuestion>,
) -> Vec<TogetherAnswer> {
    if !asked.question.count.ranks_methods() {
        return Vec::new();
    }
    let rows = groups.iter().flat_map(|group| group.rows.iter().copied());
    together::together(&by_trial(rows, asked.question.replicated_only))
}

/// Arms by trial: those that are counted, and all of them.
struct Trials<'a> {
    counted: &'a BTreeMap<&'a str, Vec<&'a EvidenceRow>>,
    whole: &'a BTreeMap<&'a str, Vec<&'a EvidenceRow>>,
}

/// Rows by their trial; without those of one replicate where they are not to be looked at.
pub(in crate::pool) fn by_trial<'a>(
    rows: impl Iterator<Item = &'a EvidenceRow>,
    replicated_only: bool,
) -> BTreeMap<&'a str, Vec<&'a EvidenceRow>> {
    let mut trials: BTreeMap<&str, Vec<&EvidenceRow>> = BTreeMap::new();
    for row in rows.filter(|row| !(replicated_only && row.flags.single_replicate)) {
        trials.entry(&row.trial).or_default().push(row);
    }
    trials
}

fn pairs(arms: &[&EvidenceRow]) -> Vec<(Sides, usize, usize)> {
    let mut pairs = Vec::new();
    for (a, one) in arms.iter().enumerate() {
        for (b, other) in arms.iter().enumerate().skip(a + 1) {
            if let Some((facet, word, other_word)) = sole_difference(one, other) {
                let facet = facet.to_owned();
                pairs.push(if word < other_word {
                    (Sides { facet, first: word.to_owned(), second: other_word.to_owned() }, a, b)
                } else {
                    (Sides { facet, first: other_word.to_owned(), second: word.to_owned() }, b, a)
                });
            }
        }
    }
    pairs
}

/// Facet and words when exactly one facet differs between two comparable arms.
fn sole_difference<'a>(one: &'a EvidenceRow, other: &'a EvidenceRow) -> Option<(&'a str, &'a str, &'a str)> {
    if !comparable(one, other) {
        return None;
    }
    let names: BTreeSet<&String> = one.facets.keys().chain(other.facets.keys()).collect();
    let mut different = names.into_iter().filter(|name| one.facets.get(*name) != other.facets.get(*name));
    let facet = different.next()?;
    if different.next().is_some() {
        return None;
    }
    Some((facet, one.facets.get(facet)?, other.facets.get(facet)?))
}

fn comparable(one: &EvidenceRow, other: &EvidenceRow) -> bool {
    let set_apart = |row: &EvidenceRow| (row.flags.unlisted_difference, row.flags.start_offset);
    one.phases == other.phases
        && set_apart(one) == set_apart(other)
        && comparable_alone(one)
        && comparable_alone(other)
}

/// Whether an arm of that kind can be compared at all.
fn comparable_alone(row: &EvidenceRow) -> bool {
    !(row.flags.lot || row.flags.stock_plants_uneven)
}

fn contrast<'a>(
    sides: &Sides,
    by_trial: &BTreeMap<&str, TrialSides>,
    trials: &Trials<'a>,
    capped: bool,
) -> Result<Option<Contrast<'a>>, AnswerError> {
    let mut seen: Vec<(Seen, &'a EvidenceRow)> = Vec::new();
    for (trial, arms) in by_trial {
        let rows = &trials.counted[trial];
        let side = |places: &BTreeSet<usize>| -> Vec<&EvidenceRow> {
            places.iter().map(|place| rows[*place]).collect()
        };
        let (first, second) = (side(&arms.first), side(&arms.second));
        let whole = trials.whole.get(trial).unwrap_or(rows);
        seen.extend(judged::seen(whole, &sides.facet, &first, &second).map(|seen| (seen, rows[0])));
    }
    if seen.is_empty() {
        return Ok(None);
    }
    let pairs = weighted(&seen, capped);
    let fit = stratified(&pairs, &Options::default()).map_err(|source| AnswerError::Fit {
        method: format!("{}: {} and {}", sides.facet, sides.first, sides.second),
        source,
    })?;
    let informative = seen.iter().zip(&pairs).filter(|(_, pair)| pair.weight > 0.0 && pair.is_informative());
    let informative = informative.map(|((_, row), _)| row.trial.as_str()).collect();
    Ok(Some(Contrast { answer: answer(sides, &seen, &pairs, fit), informative }))
}

/// Each trial's pair with its grower's weight and, where `capped`, with min(1, 60 / pieces) of all that the grower brings to
/// this contrast.
fn weighted(seen: &[(Seen, &EvidenceRow)], capped: bool) -> Vec<TrialPair> {
    let pieces_of = |seen: &Seen| -> f64 {
        seen.strata.iter().map(|pair| f64::from(pair.first.started) + f64::from(pair.second.started)).sum()
    };
    let mut pieces: BTreeMap<&str, f64> = BTreeMap::new();
    for (seen, row) in seen {
        *pieces.entry(&row.grower).or_default() += pieces_of(seen);
    }
    let cap = |row: &EvidenceRow| {
        if capped { (GROWER_CAP / pieces[row.grower.as_str()].max(1.0)).min(1.0) } else { 1.0 }
    };
    seen.iter()
        .map(|(seen, row)| TrialPair {
            strata: seen.strata.clone(),
            phi: seen.phi,
            weight: row.weight * cap(row),
        })
        .collect()
}

/// Whether some arm of the comparison stood in one pot, tray or row.
fn is_single(arms: &TrialSides, trial: &[&EvidenceRow]) -> bool {
    arms.first.iter().chain(&arms.second).any(|arm| trial[*arm].flags.single_replicate)
}

fn answer(
    sides: &Sides,
    seen: &[(Seen, &EvidenceRow)],
    pairs: &[TrialPair],
    fit: ContrastFit,
) -> ContrastAnswer {
    let growers: BTreeSet<&str> = seen.iter().map(|(_, row)| row.grower.as_str()).collect();
    let number = |row: &EvidenceRow| growers.iter().position(|grower| *grower == row.grower).unwrap_or(0);
    let held: Vec<Held> = seen
        .iter()
        .zip(pairs)
        .map(|((seen, row), pair)| Held {
            grower: number(row),
            design: seen.design,
            is_informative: pair.weight > 0.0 && pair.is_informative(),
        })
        .collect();
    let mut informative = seen.iter().zip(&held).filter(|(_, held)| held.is_informative);
    let alone = informative.next().filter(|_| informative.next().is_none()).map(|((seen, _), _)| seen);
    let (verdict, scope) = pooled(&held, fit.prob_first_better, alone.map(|seen| seen.verdict));
    let trials = seen.len();
    let single_replicate = seen.iter().filter(|(seen, _)| seen.design == Design::Single).count();
    let facts = ContrastFacts {
        facet: sides.facet.replace('_', " "),
        first: sides.first.clone(),
        second: sides.second.clone(),
        trials,
        informative: fit.k_informative,
        single_replicate,
        prob_first_better: fit.prob_first_better,
        verdict,
        scope,
        first_is_better: alone.and_then(|seen| seen.first_is_better),
        from_trials: None,
    };
    ContrastAnswer {
        facet: sides.facet.clone(),
        first: sides.first.clone(),
        second: sides.second.clone(),
        trials,
        single_replicate,
        design: alone.map(|seen| seen.design),
        phi: alone.map(|seen| seen.phi),
        scope,
        p: alone.and_then(|seen| seen.p),
        shrunk: None,
        verdict,
        sentence: AnswerSaid::Contrast(Box::new(facts)),
        fit,
    }
}
