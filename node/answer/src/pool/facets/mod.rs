//! What each facet adds, everything else equal: the contrasts of the answer, read facet by facet.
//!
//! One kind of propagation at a time: the one with most pieces. Survivors that were moved before the count belong to no
//! single method and are left out. A facet enters when at least two of its words are known. Nothing is computed here that
//! the contrasts do not say as well; words that they hold apart only through a third one are told by the same fit.

mod columns;
mod level;
mod shape;

use std::collections::{BTreeMap, BTreeSet};

use propagule_analysis::rate;

pub use shape::{CombinationAnswer, FacetAnswer, FacetsAnswer, LevelAnswer};

use super::contrast::{Contrasts, ShrunkFacet, by_trial, shrunk_facets};
use crate::question::{Asked, PoolQuestion};
use crate::{AnswerError, NotCounted};
use columns::Columns;
use level::Levels;
use propagule_evidence::{EvidenceRow, LeftOut, Lost, MethodGroup, WhyLeftOut, clusters, growers};

/// Most combinations shown.
const MOST_TRIED: usize = 12;

/// What each facet adds; `None` where fewer than two words of any facet are known, or where the outcome ranks nothing.
pub(super) fn facets(
    groups: &[MethodGroup<'_>],
    contrasts: &Contrasts,
    asked: &Asked<'_, PoolQuestion>,
) -> Result<Option<FacetsAnswer>, AnswerError> {
    let Some(chosen) = &asked.question.facets else { return Ok(None) };
    if !asked.question.count.ranks_methods() {
        return Ok(None);
    }
    let (kind, rows, left_out) = of_one_kind(groups, asked.question.replicated_only);
    let columns = Columns::of(&rows, chosen);
    if columns.is_empty() {
        return Ok(None);
    }
    let fitted = missing(&columns, groups, contrasts, asked)?;
    let facet = |(name, words): (&String, &Vec<String>)| {
        let engine = contrasts.facets.get(name).or_else(|| fitted.get(name));
        Levels { name, words, engine, contrasts: &contrasts.answers, rows: &rows }.answer()
    };
    Ok(Some(FacetsAnswer {
        grower_spread_mean: None,
        trial_spread_mean: None,
        facets: columns.names.iter().zip(&columns.words).map(facet).collect(),
        inseparable: inseparable(&columns, &rows),
        combinations: combinations(&columns, &rows, asked)?,
        left_out,
        kind,
    }))
}

/// Fits of facets that the contrasts did not need.
fn missing(
    columns: &Columns,
    groups: &[MethodGroup<'_>],
    contrasts: &Contrasts,
    asked: &Asked<'_, PoolQuestion>,
) -> Result<BTreeMap<String, ShrunkFacet>, AnswerError> {
    let names = columns.names.iter().filter(|name| !contrasts.facets.contains_key(*name));
    let rows = groups.iter().flat_map(|group| group.rows.iter().copied());
    let trials = by_trial(rows, asked.question.replicated_only);
    shrunk_facets(&names.map(String::as_str).collect(), &trials, asked.given.source.is_capped())
        .map_err(|source| AnswerError::Linked { source })
}

/// Rows of the kind with most pieces that were not moved, the kind, and what is left out.
fn of_one_kind<'a>(
    groups: &[MethodGroup<'a>],
    replicated_only: bool,
) -> (String, Vec<&'a EvidenceRow>, Vec<NotCounted>) {
    let kind = |row: &EvidenceRow| row.facets.get("kind").cloned().unwrap_or_else(|| "pieces".to_owned());
    let rows: Vec<&EvidenceRow> = groups.iter().flat_map(|group| group.rows.iter().copied()).collect();
    let mut pieces: BTreeMap<String, u64> = BTreeMap::new();
    for row in &rows {
        *pieces.entry(kind(row)).or_default() += u64::from(row.started);
    }
    let most = pieces.into_iter().max_by(|a, b| a.1.cmp(&b.1).then_with(|| b.0.cmp(&a.0)));
    let most = most.map(|(kind, _)| kind).unwrap_or_default();
    let (same, others): (Vec<_>, Vec<_>) = rows.into_iter().partition(|row| kind(row) == most);
    let (kept, moved): (Vec<_>, Vec<_>) = same.into_iter().partition(|row| row.phases.is_empty());
    let single = |row: &&EvidenceRow| replicated_only && row.flags.single_replicate;
    let (single, kept): (Vec<_>, Vec<_>) = kept.into_iter().partition(single);
    let reasons = [
        (WhyLeftOut::OtherKind, others.len()),
        (WhyLeftOut::MovedBefore, moved.len()),
        (WhyLeftOut::OneReplicate, single.len()),
    ];
    let left_out = reasons.into_iter().filter(|(_, count)| *count > 0);
    let left_out = left_out.map(|(why, count)| NotCounted::from(&LeftOut { why, count }));
    (most, kept, left_out.collect())
}

/// Groups of words that the same arms have, and no others: as "facet word".
fn inseparable(columns: &Columns, rows: &[&EvidenceRow]) -> Vec<Vec<String>> {
    let mut arms: BTreeMap<BTreeSet<usize>, Vec<String>> = BTreeMap::new();
    for (name, words) in columns.names.iter().zip(&columns.words) {
        for word in words {
            let has = |(_, row): &(usize, &&EvidenceRow)| row.facets.get(name) == Some(word);
            let held: BTreeSet<usize> = rows.iter().enumerate().filter(has).map(|(place, _)| place).collect();
            arms.entry(held).or_default().push(format!("{} {word}", name.replace('_', " ")));
        }
    }
    arms.into_iter()
        .filter(|(held, words)| !held.is_empty() && words.len() > 1)
        .map(|(_, words)| words)
        .collect()
}

/// Combinations tried, those of most pieces first, each with the rate of its own arms.
fn combinations(
    columns: &Columns,
    rows: &[&EvidenceRow],
    asked: &Asked<'_, PoolQuestion>,
) -> Result<Vec<CombinationAnswer>, AnswerError> {
    let mut held: BTreeMap<Vec<&str>, Vec<&EvidenceRow>> = BTreeMap::new();
    for row in rows {
        held.entry(columns.words_of(row)).or_default().push(row);
    }
    let mut held: Vec<(Vec<&str>, Vec<&EvidenceRow>)> = held.into_iter().collect();
    let pieces = |rows: &[&EvidenceRow]| rows.iter().map(|row| u64::from(row.started)).sum::<u64>();
    held.sort_by_cached_key(|(words, rows)| (std::cmp::Reverse(pieces(rows)), words.join("\n")));
    held.truncate(MOST_TRIED);
    let answer = |(words, rows): &(Vec<&str>, Vec<&EvidenceRow>)| {
        let clusters = clusters(rows, Lost::AsFailures, asked.given.source.is_capped());
        let fit = rate::fit(&growers(&clusters), &rate::Options::default())
            .map_err(|source| AnswerError::Fit { method: words.join(", "), source })?;
        let summary = fit.summary();
        let named = columns.names.iter().cloned().zip(words.iter().map(|word| (*word).to_owned()));
        let trials: BTreeSet<&str> = rows.iter().map(|row| row.trial.as_str()).collect();
        Ok(CombinationAnswer {
            facets: named.collect(),
            tried: true,
            rests_on_prior: false,
            average_grower_rate_mean: summary.average_grower_rate_mean,
            average_grower_rate_q: summary.average_grower_rate_q,
            new_grower_rate_q: summary.new_grower_rate_q,
            growers: clusters.len(),
            trials: trials.len(),
            started: pieces(rows),
            rooted: rows.iter().map(|row| u64::from(row.succeeded)).sum(),
        })
    };
    crate::parallel::map(&held, answer).into_iter().collect()
}
