//! All facets of a method in one model: what each adds, everything else equal.
//!
//! One kind of propagation at a time: the one with most pieces. Survivors that were moved before the count belong to no
//! single method and are left out. A facet enters when at least two of its words are known; where an arm does not say,
//! "not known" is a word of its own.

mod columns;
mod shape;

use std::collections::BTreeMap;

use propagule_analysis::Count;
use propagule_analysis::facets::{
    Facet, FacetArm, FacetError, FacetFit, FacetGrower, LevelEffect, Options, Standing, fit,
};

pub use shape::{CombinationAnswer, FacetAnswer, FacetsAnswer, LevelAnswer};

use crate::question::{Asked, PoolQuestion};
use crate::said::{AnswerSaid, LevelFacts};
use crate::{AnswerError, NotCounted};
use columns::{Columns, single_replicate};
use propagule_evidence::{EvidenceRow, GROWER_CAP, LeftOut, MethodGroup, WhyLeftOut};

/// Most combinations shown of those tried, and of those never tried.
const MOST_TRIED: usize = 12;
const MOST_UNTRIED: usize = 5;
/// Most combinations that are looked through for ones never tried.
const MOST_LOOKED_AT: usize = 100_000;

/// What each facet adds; `None` where fewer than two words of any facet are known, or where the outcome ranks nothing.
pub(super) fn facets(
    groups: &[MethodGroup<'_>],
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
    let facets: Vec<Facet> = columns.words.iter().map(|words| Facet::new(words.len())).collect();
    let growers = growers(&rows, &columns, asked.given.source.is_capped());
    let fitted = fit(&facets, &growers, &Options::default()).map_err(|source| refused(&kind, source))?;
    let combinations = combinations(&fitted, &columns, &rows).map_err(|source| refused(&kind, source))?;
    Ok(Some(FacetsAnswer {
        kind,
        grower_spread_mean: fitted.grower_spread_mean,
        trial_spread_mean: fitted.trial_spread_mean,
        facets: facet_answers(&fitted, &columns, &rows),
        inseparable: inseparable(&fitted, &columns),
        combinations,
        left_out,
    }))
}

fn refused(kind: &str, source: FacetError) -> AnswerError {
    AnswerError::Facets { kind: kind.to_owned(), source }
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

/// What one grower brings: arms by trial, weight, pieces.
#[derive(Default)]
struct Brought<'a> {
    trials: BTreeMap<&'a str, Vec<FacetArm>>,
    weight: f64,
    pieces: f64,
}

/// Arms by grower and trial, each grower with its weight and cap.
fn growers(rows: &[&EvidenceRow], columns: &Columns, capped: bool) -> Vec<FacetGrower> {
    let mut by_grower: BTreeMap<&str, Brought> = BTreeMap::new();
    for row in rows {
        let Brought { trials, weight, pieces } = by_grower.entry(&row.grower).or_default();
        let count = Count { started: row.started, succeeded: row.succeeded };
        trials.entry(&row.trial).or_default().push(FacetArm { levels: columns.levels_of(row), count });
        *weight = weight.max(row.weight);
        *pieces += f64::from(row.started);
    }
    let cap = |pieces: f64| if capped { (GROWER_CAP / pieces.max(1.0)).min(1.0) } else { 1.0 };
    by_grower
        .into_values()
        .map(|brought| FacetGrower {
            trials: brought.trials.into_values().collect(),
            weight: brought.weight * cap(brought.pieces),
        })
        .collect()
}

fn facet_answers(fitted: &FacetFit, columns: &Columns, rows: &[&EvidenceRow]) -> Vec<FacetAnswer> {
    let facets = columns.names.iter().zip(&columns.words).zip(&fitted.effects).zip(fitted.references());
    facets
        .map(|(((name, words), effects), reference)| FacetAnswer {
            facet: name.clone(),
            reference: words[*reference].clone(),
            levels: words
                .iter()
                .zip(effects)
                .map(|(word, effect)| {
                    let single = single_replicate(rows, name, word);
                    level(name, &words[*reference], word, (effect, single))
                })
                .collect(),
        })
        .collect()
}

fn level(
    facet: &str,
    reference: &str,
    word: &str,
    (effect, single_replicate): (&LevelEffect, usize),
) -> LevelAnswer {
    let facts = LevelFacts {
        facet: facet.replace('_', " "),
        reference: reference.to_owned(),
        level: word.to_owned(),
        standing: effect.standing,
        side_by_side: effect.side_by_side_trials,
        single_replicate,
        log_or: effect.log_or_q,
        better: effect.prob_better_than_reference,
    };
    LevelAnswer {
        level: word.to_owned(),
        verdict: facts.verdict(),
        sentence: AnswerSaid::Level(Box::new(facts)),
        log_or_mean: effect.log_or_mean,
        log_or_sd: effect.log_or_sd,
        log_or_q: effect.log_or_q,
        prob_better_than_reference: effect.prob_better_than_reference,
        standing: effect.standing,
        growers: effect.growers,
        trials: effect.trials,
        side_by_side_trials: effect.side_by_side_trials,
        single_replicate,
        started: effect.started,
        rooted: effect.succeeded,
    }
}

/// Groups of words that the evidence cannot separate, as "facet word".
fn inseparable(fitted: &FacetFit, columns: &Columns) -> Vec<Vec<String>> {
    let word = |facet: usize, level: usize| {
        format!("{} {}", columns.names[facet].replace('_', " "), columns.words[facet][level])
    };
    let group = |levels: &Vec<propagule_analysis::facets::FacetLevel>| {
        levels.iter().map(|at| word(at.facet, at.level)).collect()
    };
    fitted.aliases.iter().map(group).collect()
}

/// Combinations tried, those of most pieces first, then the most promising of those never tried. Each takes a while to
/// predict, so only those shown are.
fn combinations(
    fitted: &FacetFit,
    columns: &Columns,
    rows: &[&EvidenceRow],
) -> Result<Vec<CombinationAnswer>, FacetError> {
    let mut pieces: BTreeMap<Vec<usize>, u64> = BTreeMap::new();
    for row in rows {
        *pieces.entry(columns.levels_of(row)).or_default() += u64::from(row.started);
    }
    let mut tried: Vec<(Vec<usize>, u64)> = pieces.into_iter().collect();
    tried.sort_by(|a, b| b.1.cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
    let shown = tried.into_iter().map(|(levels, _)| levels).take(MOST_TRIED);
    let shown: Vec<Vec<usize>> = shown.chain(untried(fitted).into_iter().take(MOST_UNTRIED)).collect();
    let answers = shown.iter().map(|levels| predicted(fitted, columns, levels));
    let answers = answers.collect::<Result<Vec<_>, _>>()?;
    Ok(answers.into_iter().filter(|answer| answer.tried || !answer.rests_on_prior).collect())
}

fn predicted(
    fitted: &FacetFit,
    columns: &Columns,
    levels: &[usize],
) -> Result<CombinationAnswer, FacetError> {
    let found = fitted.predict(levels)?;
    let facets = columns.names.iter().cloned().zip(columns.words_of(levels)).collect();
    Ok(CombinationAnswer {
        facets,
        tried: found.tried(),
        rests_on_prior: found.rests_on_prior,
        average_grower_rate_mean: found.average_grower_rate_mean,
        average_grower_rate_q: found.average_grower_rate_q,
        new_grower_rate_q: found.new_grower_rate_q,
        growers: found.growers,
        trials: found.trials,
        started: found.started,
        rooted: found.succeeded,
    })
}

/// Combinations never tried of words that were each compared inside growers' own trials, the most promising first by
/// the sum of their effects.
fn untried(fitted: &FacetFit) -> Vec<Vec<usize>> {
    let known = |effects: &Vec<LevelEffect>| -> Vec<usize> {
        let compared =
            |effect: &LevelEffect| matches!(effect.standing, Standing::Reference | Standing::WithinGrowers);
        (0..effects.len()).filter(|&level| compared(&effects[level])).collect()
    };
    let known: Vec<Vec<usize>> = fitted.effects.iter().map(known).collect();
    if known.iter().map(Vec::len).fold(1, usize::saturating_mul) > MOST_LOOKED_AT {
        return Vec::new();
    }
    let mut all = vec![Vec::new()];
    for levels in &known {
        let longer = all.iter().flat_map(|so_far: &Vec<usize>| {
            levels.iter().map(|level| so_far.iter().copied().chain([*level]).collect())
        });
        all = longer.collect();
    }
    let tried: std::collections::BTreeSet<&[usize]> = fitted.tried_combinations().collect();
    all.retain(|levels| !tried.contains(levels.as_slice()));
    let effect = |levels: &[usize]| -> f64 {
        levels.iter().zip(&fitted.effects).map(|(level, effects)| effects[*level].log_or_mean).sum()
    };
    all.sort_by(|a, b| effect(b).total_cmp(&effect(a)));
    all
}
