//! What each grower moves: the headline without them, and where they lie among the others.

use propagule_analysis::{Count, compare, rate};

use super::Influence;
use crate::AnswerError;
use crate::question::{Asked, PoolQuestion};
use propagule_evidence::{Cluster, Lost, MethodGroup, clusters, growers};

/// Influence of every grower on every method with at least two growers.
pub(super) fn influence(
    groups: &[MethodGroup<'_>],
    asked: &Asked<'_, PoolQuestion>,
) -> Result<Vec<Influence>, AnswerError> {
    let mut lines = Vec::new();
    for group in groups {
        let all = clusters(&group.rows, Lost::AsFailures, asked.given.source.is_capped());
        if all.len() < 2 {
            continue;
        }
        for index in 0..all.len() {
            lines.push(without(group, &all, index, &rate::Options::default())?);
        }
    }
    Ok(lines)
}

fn without(
    group: &MethodGroup<'_>,
    all: &[Cluster],
    index: usize,
    model: &rate::Options,
) -> Result<Influence, AnswerError> {
    let mut others = growers(all);
    others.remove(index);
    let own = sum(&all[index].grower.trials);
    let fitted = compare::against(&others, own, model)
        .map_err(|source| AnswerError::Fit { method: group.label.clone(), source })?;
    let summary = fitted.fit.summary();
    Ok(Influence {
        method: group.label.clone(),
        grower: all[index].label.clone(),
        average_grower_rate_without: summary.average_grower_rate_mean,
        tau_mean_without: summary.tau_mean,
        mid_p_percentile: fitted.mid_p_percentile,
    })
}

/// All trials of a grower as one count.
fn sum(trials: &[Count]) -> Count {
    Count {
        started: trials.iter().map(|count| count.started).sum(),
        succeeded: trials.iter().map(|count| count.succeeded).sum(),
    }
}
