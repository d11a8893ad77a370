//! Behind the headline, for readers who ask: other widths of the spread's prior, and classical results.

use propagule_analysis::meta::{Correction, TauMethod, fit, logit_rate};
use propagule_analysis::mixed::maximum_likelihood;
use propagule_analysis::rate;
use propagule_analysis::{Count, Grower};

use super::{Classical, ClassicalRate, Detail, Sensitivity};
use crate::question::{Asked, PoolQuestion};
use crate::{AnswerError, parallel};
use propagule_evidence::{Lost, MethodGroup, clusters, growers};

/// Scales of the spread's prior beside the default of 1.
pub const OTHER_SCALES: [f64; 2] = [0.5, 2.0];
/// Most growers of which the normal model is fitted: it takes matrices of their number.
const MOST_GROWERS: usize = 300;

/// Details of every method, in the order of the groups.
pub(super) fn details(
    groups: &[MethodGroup<'_>],
    asked: &Asked<'_, PoolQuestion>,
) -> Result<Vec<Detail>, AnswerError> {
    parallel::map(groups, |group| detail(group, asked)).into_iter().collect()
}

fn detail(group: &MethodGroup<'_>, asked: &Asked<'_, PoolQuestion>) -> Result<Detail, AnswerError> {
    let growers = growers(&clusters(&group.rows, Lost::AsFailures, asked.given.source.is_capped()));
    let refused = |source| AnswerError::Fit { method: group.label.clone(), source };
    let sensitivity = OTHER_SCALES.map(|scale| sensitivity(&growers, scale));
    let sensitivity = sensitivity.into_iter().collect::<Result<Vec<_>, _>>().map_err(refused)?;
    Ok(Detail { method: group.label.clone(), sensitivity, classical: classical(&growers) })
}

fn sensitivity(growers: &[Grower], grower_sd: f64) -> Result<Sensitivity, propagule_analysis::FitError> {
    let fitted = rate::fit(growers, &rate::Options { grower_sd, ..rate::Options::default() })?;
    let summary = fitted.summary();
    Ok(Sensitivity {
        grower_sd,
        average_grower_rate_mean: summary.average_grower_rate_mean,
        average_grower_rate_q: summary.average_grower_rate_q,
        new_grower_rate_q: summary.new_grower_rate_q,
    })
}

/// One count a grower, without weights: as the programs that readers know take them.
fn classical(growers: &[Grower]) -> Classical {
    let sum =
        |grower: &Grower, of: fn(&Count) -> u32| grower.trials.iter().map(of).fold(0, u32::saturating_add);
    let counts: Vec<Count> = growers
        .iter()
        .map(|grower| Count { started: sum(grower, |c| c.started), succeeded: sum(grower, |c| c.succeeded) })
        .collect();
    let all = |of: fn(&Count) -> u32| counts.iter().map(|count| f64::from(of(count))).sum::<f64>();
    Classical {
        crude_rate: all(|count| count.succeeded) / all(|count| count.started),
        maximum_likelihood: maximum_likelihood(&counts).ok().map(|found| {
            let reach = 1.959_964 * found.mu_se;
            ClassicalRate::new(found.mu, [found.mu - reach, found.mu + reach], found.tau)
        }),
        restricted: if (2..=MOST_GROWERS).contains(&counts.len()) { restricted(&counts) } else { None },
    }
}

/// Log odds with 0.5 where a cell is zero, restricted maximum likelihood, Knapp and Hartung's interval.
fn restricted(counts: &[Count]) -> Option<ClassicalRate> {
    let effects: Vec<_> = counts.iter().map(|count| logit_rate(*count, Correction::WhereZero)).collect();
    let fitted = fit(&effects, TauMethod::Restricted).ok()?;
    let (low, high) = fitted.knapp_hartung(true).interval;
    Some(ClassicalRate::new(fitted.estimate(), [low, high], fitted.tau2.sqrt()))
}
