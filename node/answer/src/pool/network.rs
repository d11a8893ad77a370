//! All methods that trials link: who is best, and how sure that is.
//!
//! Each method is one word, so that the facets that make up its name may differ together; everything else is equal and
//! known, as in any contrast. Only the largest group of linked methods is looked at: between groups nothing may be ranked.
//! Methods seen only where nothing (or everything) succeeded carry no information and are left out.

use std::collections::{BTreeMap, BTreeSet};

use propagule_analysis::Count;
use propagule_analysis::network::{NetworkTrial, TrialArm, components, rank_probabilities};
use propagule_analysis::shrunk::ShrunkEffects;
use propagule_analysis::verdict::Verdict;

use super::contrast::{ShrunkFacet, by_trial, contrasts_of, shrunk_facets};
use super::{ContrastAnswer, NetworkAnswer};
use crate::AnswerError;
use crate::question::{Asked, PoolQuestion};
use crate::said::{AnswerSaid, Ranked};
use propagule_evidence::{EvidenceRow, MethodGroup};

/// Most methods of which the order is looked at: those with most pieces.
const MOST_METHODS: usize = 24;
/// Name of the facet that holds the method.
const METHOD: &str = "method";
/// Trials from which on a method has to be beaten by the one that leads.
const TRIED: usize = 2;

/// Methods linked by trials in which a difference could be seen; `None` with fewer than two of them, or where the
/// outcome ranks nothing.
pub(super) fn network(
    groups: &[MethodGroup<'_>],
    evidence: &[EvidenceRow],
    asked: &Asked<'_, PoolQuestion>,
) -> Result<Option<NetworkAnswer>, AnswerError> {
    if !asked.question.count.ranks_methods() {
        return Ok(None);
    }
    let named = by_method(groups, evidence);
    let fit: Vec<&EvidenceRow> = named.iter().filter(|row| !row.pending && is_fit(row, asked)).collect();
    let trials: Vec<NetworkTrial> = strata(groups, &fit);
    let largest = components(groups.len(), &trials).into_iter().next().unwrap_or_default();
    let of_methods = largest.len();
    let methods = weightiest(groups, largest);
    if methods.len() < 2 {
        return Ok(None);
    }
    let labels: Vec<String> = methods.iter().map(|method| groups[*method].label.clone()).collect();
    let is_in = |row: &&EvidenceRow| row.facets.get(METHOD).is_some_and(|label| labels.contains(label));
    let rows: Vec<&EvidenceRow> = fit.into_iter().filter(is_in).collect();
    let held = Linked::new(&labels, &rows);
    if held.trials.len() == 1 && held.single_replicate == 1 {
        return Ok(None);
    }
    let contrasts = contrasts_of(&rows, &named.iter().collect::<Vec<_>>(), asked)?;
    let pairs: Vec<&ContrastAnswer> =
        contrasts.answers.iter().filter(|contrast| contrast.facet == METHOD).collect();
    let facets = shrunk_facets(
        &BTreeSet::from([METHOD]),
        &by_trial(rows.iter().copied(), asked.question.replicated_only),
        asked.given.source.is_capped(),
    );
    let engine = facets.map_err(|source| AnswerError::Linked { source })?.remove(METHOD);
    Ok(engine.and_then(|engine| answer(labels, of_methods, &held, &pairs, &engine)))
}

/// All rows, with the method in the place of the facets that make it up in any method of the trial.
fn by_method(groups: &[MethodGroup<'_>], evidence: &[EvidenceRow]) -> Vec<EvidenceRow> {
    let mut label: BTreeMap<(&str, &str), &str> = BTreeMap::new();
    let mut own: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    for (group, row) in groups.iter().flat_map(|group| group.rows.iter().map(move |row| (group, row))) {
        label.insert((&row.trial, &row.arm), &group.label);
        own.entry(&row.trial).or_default().extend(group.facets.keys().map(String::as_str));
    }
    let named = |row: &EvidenceRow| {
        let mut row = row.clone();
        if let Some(own) = own.get(row.trial.as_str()) {
            row.facets.retain(|name, _| !own.contains(name.as_str()) && name != METHOD);
        }
        if let Some(label) = label.get(&(row.trial.as_str(), row.arm.as_str())) {
            row.facets.insert(METHOD.to_owned(), (*label).to_owned());
        }
        row
    };
    let is_counted =
        |row: &&EvidenceRow| row.pending || label.contains_key(&(row.trial.as_str(), row.arm.as_str()));
    evidence.iter().filter(is_counted).map(named).collect()
}

/// Lots ask no question; an uneven split of stock plants, an unlisted difference or another month leaves methods unseparated.
fn is_fit(row: &EvidenceRow, asked: &Asked<'_, PoolQuestion>) -> bool {
    let flags = row.flags;
    let set_apart = flags.unlisted_difference.is_some() || flags.start_offset != 0;
    let left_out = asked.question.replicated_only && flags.single_replicate;
    !(flags.lot || flags.stock_plants_uneven || set_apart || left_out)
}

/// What stood side by side with everything else equal, where a difference could be seen.
fn strata(groups: &[MethodGroup<'_>], rows: &[&EvidenceRow]) -> Vec<NetworkTrial> {
    let mut strata: BTreeMap<(&str, super::strata::Rest<'_>), Vec<TrialArm>> = BTreeMap::new();
    for row in rows {
        let Some(method) = groups.iter().position(|group| row.facets.get(METHOD) == Some(&group.label))
        else {
            continue;
        };
        let count = Count { started: row.started, succeeded: row.succeeded };
        let rest = super::strata::rest(row, |name| name == METHOD);
        strata.entry((&row.trial, rest)).or_default().push(TrialArm { method, count });
    }
    strata.into_values().map(|arms| NetworkTrial { arms }).filter(NetworkTrial::is_informative).collect()
}

/// At most [`MOST_METHODS`], in their order.
fn weightiest(groups: &[MethodGroup<'_>], mut methods: Vec<usize>) -> Vec<usize> {
    let pieces = |method: &usize| groups[*method].rows.iter().map(|row| u64::from(row.started)).sum::<u64>();
    methods.sort_by_key(|method| (std::cmp::Reverse(pieces(method)), *method));
    methods.truncate(MOST_METHODS);
    methods.sort_unstable();
    methods
}

/// Trials that hold two of the methods side by side and show a difference.
struct Linked<'a> {
    trials: BTreeSet<&'a str>,
    single_replicate: usize,
    /// Successes, pieces and trials of each method in them.
    rooted: Vec<u32>,
    started: Vec<u32>,
    tried: Vec<usize>,
}

impl<'a> Linked<'a> {
    fn new(labels: &[String], rows: &[&'a EvidenceRow]) -> Self {
        let place = |row: &EvidenceRow| labels.iter().position(|label| row.facets.get(METHOD) == Some(label));
        let mut strata: BTreeMap<(&str, super::strata::Rest<'_>), Vec<(usize, &EvidenceRow)>> =
            BTreeMap::new();
        for row in rows {
            let Some(method) = place(row) else { continue };
            let rest = super::strata::rest(row, |name| name == METHOD);
            strata.entry((&row.trial, rest)).or_default().push((method, row));
        }
        let mut out = Self {
            trials: BTreeSet::new(),
            single_replicate: 0,
            rooted: vec![0; labels.len()],
            started: vec![0; labels.len()],
            tried: vec![0; labels.len()],
        };
        let (mut single, mut tried) = (BTreeSet::new(), BTreeSet::new());
        for ((trial, _), arms) in strata {
            let methods: BTreeSet<usize> = arms.iter().map(|arm| arm.0).collect();
            let some = arms.iter().any(|arm| arm.1.succeeded > 0);
            if methods.len() < 2 || !some || arms.iter().all(|arm| arm.1.succeeded >= arm.1.started) {
                continue;
            }
            out.trials.insert(trial);
            for (method, row) in arms {
                out.rooted[method] = out.rooted[method].saturating_add(row.succeeded);
                out.started[method] = out.started[method].saturating_add(row.started);
                tried.insert((method, trial));
                single.extend(row.flags.single_replicate.then_some(trial));
            }
        }
        for (method, _) in tried {
            out.tried[method] += 1;
        }
        out.single_replicate = single.len();
        out
    }
}

/// What is clear of two methods: which of them is better, and how sure that is.
fn clear<'a>(pairs: &[&'a ContrastAnswer]) -> Vec<(&'a str, &'a str, f64)> {
    let clear = pairs.iter().filter_map(|pair| {
        let AnswerSaid::Contrast(said) = &pair.sentence else { return None };
        let first = match pair.verdict {
            Verdict::Better => said.first_is_better?,
            Verdict::Likely => said.prob_first_better > 0.5,
            _ => return None,
        };
        let chance = said.prob_first_better.max(1.0 - said.prob_first_better);
        let (better, worse) = if first { (&pair.first, &pair.second) } else { (&pair.second, &pair.first) };
        Some((better.as_str(), worse.as_str(), chance))
    });
    clear.collect()
}

/// What is clear of methods that no trial holds side by side, and that trials join through others.
fn clear_through_others<'a>(
    labels: &'a [String],
    pairs: &[&ContrastAnswer],
    engine: &ShrunkFacet,
) -> Vec<(&'a str, &'a str, f64)> {
    let is_held = |one: &str, other: &str| {
        pairs.iter().any(|pair| {
            (pair.first == one && pair.second == other) || (pair.first == other && pair.second == one)
        })
    };
    let ahead = |one: &'a String, other: &'a String| {
        let is_likely = engine.verdict(one, other) == Some(Verdict::Likely);
        let chance = engine.estimate(one, other)?.estimate.prob_first_better;
        (is_likely && chance > 0.5 && !is_held(one, other)).then_some((one.as_str(), other.as_str(), chance))
    };
    let all = labels.iter().flat_map(|one| labels.iter().map(move |other| (one, other)));
    all.filter(|(one, other)| one != other).filter_map(|(one, other)| ahead(one, other)).collect()
}

fn ranked(labels: &[String], held: &Linked<'_>, pairs: &[&ContrastAnswer], engine: &ShrunkFacet) -> Ranked {
    let clear: Vec<(&str, &str, f64)> =
        clear(pairs).into_iter().chain(clear_through_others(labels, pairs, engine)).collect();
    let beats = |one: &str, other: &str| clear.iter().find(|pair| pair.0 == one && pair.1 == other);
    let rivals =
        || labels.iter().zip(&held.tried).filter(|(_, trials)| **trials >= TRIED).map(|(label, _)| label);
    // Where every method was tried once, all are rivals.
    let rivals: Vec<&String> =
        if rivals().count() > 1 { rivals().collect() } else { labels.iter().collect() };
    let leads = |label: &&String| rivals.iter().all(|rival| rival == label || beats(label, rival).is_some());
    let best = labels.iter().find(leads).cloned();
    let others = || labels.iter().filter(|label| Some(*label) != best.as_ref());
    let of_best = |label: &String| best.as_ref().and_then(|best| beats(best, label));
    Ranked {
        beaten: others().filter_map(|label| Some((label.clone(), of_best(label)?.2))).collect(),
        open: others().filter(|label| of_best(label).is_none()).cloned().collect(),
        best: best.clone(),
        trials: held.trials.len(),
        single_replicate: held.single_replicate,
        ahead: clear
            .iter()
            .map(|(better, worse, chance)| ((*better).to_owned(), (*worse).to_owned(), *chance))
            .collect(),
    }
}

/// One method against another: by the pair itself where there is one pair, else among all of them.
struct Against {
    log_or_mean: f64,
    log_or_sd: f64,
    log_or_q: [f64; 3],
    better: f64,
}

impl Against {
    fn new(one: &str, other: &str, pairs: &[&ContrastAnswer], engine: &ShrunkFacet) -> Option<Self> {
        if let [only] = pairs {
            let fit = &only.fit;
            let found = Self {
                log_or_mean: fit.log_or_mean,
                log_or_sd: fit.log_or_sd,
                log_or_q: fit.log_or_q,
                better: fit.prob_first_better,
            };
            return Some(if only.first == one { found } else { found.turned() });
        }
        let found = engine.estimate(one, other)?.estimate;
        Some(Self {
            log_or_mean: found.log_or_mean,
            log_or_sd: found.log_or_sd,
            log_or_q: found.log_or_q,
            better: found.prob_first_better,
        })
    }

    fn turned(self) -> Self {
        let [low, middle, high] = self.log_or_q;
        Self {
            log_or_mean: -self.log_or_mean,
            log_or_q: [-high, -middle, -low],
            better: 1.0 - self.better,
            ..self
        }
    }
}

fn answer(
    methods: Vec<String>,
    of_methods: usize,
    held: &Linked<'_>,
    pairs: &[&ContrastAnswer],
    engine: &ShrunkFacet,
) -> Option<NetworkAnswer> {
    let (effects, spreads) = (engine.effects()?, engine.spreads()?);
    let sentence = ranked(&methods, held, pairs, engine);
    let against = |label: &String, other: usize| Against::new(label, &methods[other], pairs, engine);
    let first = |of: fn(&Against) -> f64| -> Vec<f64> {
        let values = methods.iter().enumerate().map(|(place, label)| match place {
            0 => 0.0,
            _ => against(label, 0).as_ref().map_or(0.0, of),
        });
        values.collect()
    };
    let better = |label: &String, own: usize, other: usize| {
        if own == other { 0.0 } else { against(label, other).map_or(0.5, |found| found.better) }
    };
    let row = |(own, label): (usize, &String)| {
        (0..methods.len()).map(|other| better(label, own, other)).collect::<Vec<f64>>()
    };
    let rank = |label: &String| 1 + sentence.ahead.iter().filter(|(_, worse, _)| worse == label).count();
    let (trials, of_trials) = engine.trials();
    Some(NetworkAnswer {
        rank: methods.iter().map(rank).collect(),
        of_methods,
        fitted_trials: [trials, of_trials],
        trials: held.trials.len(),
        single_replicate: held.single_replicate,
        rooted: held.rooted.clone(),
        started: held.started.clone(),
        d_mean: first(|found| found.log_or_mean),
        d_sd: first(|found| found.log_or_sd),
        d_q025: first(|found| found.log_or_q[0]),
        d_q975: first(|found| found.log_or_q[2]),
        m_mean: effects.stratum_mean,
        s_mean: spreads.stratum,
        tau_mean: spreads.arm,
        rank_prob: rank_prob(effects)?,
        prob_row_better_than_column: methods.iter().enumerate().map(row).collect(),
        sentence: AnswerSaid::Ranked(sentence),
        methods,
    })
}

/// Probability of each rank, by method.
fn rank_prob(effects: &ShrunkEffects) -> Option<Vec<Vec<f64>>> {
    let (mean, of) = (&effects.mean, &effects.covariance);
    let log_or: Vec<f64> = mean[1..].iter().map(|value| value - mean[0]).collect();
    let entry = |i: usize, j: usize| of[i][j] - of[i][0] - of[0][j] + of[0][0];
    let covariance: Vec<Vec<f64>> =
        (1..mean.len()).map(|i| (1..mean.len()).map(|j| entry(i, j)).collect()).collect();
    rank_probabilities(&log_or, &covariance).map(|table| table.probability)
}
