//! The number to start by one method.

use propagule_analysis::planning::MOST_PIECES;
use propagule_analysis::rate::RateFit;
use propagule_analysis::{Count, interval, rate};

use super::{Expense, MethodPlan, OwnCounts, PlanRequest, own_rows};
use crate::AnswerError;
use crate::words::{StickFacts, Wording, start_verb};
use propagule_evidence::{EvidenceRow, Lost, MethodGroup, clusters, growers, tally};

/// A method's plan and the fit of all growers it rests on.
#[derive(Clone, Debug)]
pub(super) struct Planned {
    pub(super) plan: MethodPlan,
    pub(super) fit: RateFit,
}

/// The law that decides: the reader's own next trial, or a new grower's.
struct NextTrial {
    own: Option<OwnCounts>,
    mean: f64,
    stick: Option<u32>,
    /// Probability of each number of successes among the pieces to start.
    counts: Vec<f64>,
}

impl NextTrial {
    fn new(own: Option<OwnCounts>, mean: f64, stick: Option<u32>, counts: impl Fn(u32) -> Vec<f64>) -> Self {
        Self { own, mean, stick, counts: stick.map(counts).unwrap_or_default() }
    }

    /// Chance of `want` successes or more.
    fn chance(&self, want: u32) -> f64 {
        self.counts.iter().skip(want as usize).sum()
    }
}

/// Outcomes that stand for a law of counts: the middles of so many parts of equal probability.
pub const OUTCOMES: usize = 20;

/// [`OUTCOMES`] equally likely numbers of successes, rising.
fn outcomes(counts: &[f64]) -> Vec<u32> {
    let (mut sum, mut found) = (0.0, Vec::new());
    for (successes, probability) in counts.iter().enumerate() {
        sum += probability;
        while found.len() < OUTCOMES && sum >= (found.len() as f64 + 0.5) / OUTCOMES as f64 {
            found.push(successes as u32);
        }
    }
    found
}

pub(super) fn planned(group: &MethodGroup<'_>, request: &PlanRequest) -> Result<Planned, AnswerError> {
    let refused = |source| AnswerError::Fit { method: group.label.clone(), source };
    let tally = tally(&group.rows);
    let fit = fit_of(&group.rows, request).map_err(refused)?;
    let next = next_trial(group, &fit, request).map_err(refused)?;
    let stick = next.stick.filter(|_| tally.succeeded > 0);
    let why_not = match (tally.succeeded, stick) {
        (0, _) => Some("nothing_rooted"),
        (_, None) => Some("not_attainable"),
        (_, Some(_)) => None,
    };
    let nothing = Count::new(tally.started, 0).ok().filter(|_| tally.succeeded == 0);
    let facts = StickFacts {
        wording: Wording::new(group.family, request.question.outcome),
        verb: start_verb(group.family),
        want: request.want,
        sure: request.sure,
        stick,
        most: MOST_PIECES,
        started: tally.started,
        succeeded: tally.succeeded,
        growers: tally.growers,
        own: next.own.map(|own| (own.rooted, own.started)),
    };
    let expense = stick.and_then(|stick| expense(stick, request));
    let plan = MethodPlan {
        method: group.label.clone(),
        facets: group.facets.clone(),
        stick,
        why_not,
        basis: if next.own.is_some() { "own" } else { "new_grower" },
        own: next.own,
        next_trial_rate_mean: next.mean,
        chance: stick.map(|_| next.chance(request.want)),
        outcomes: stick.map(|_| outcomes(&next.counts)),
        growers: tally.growers,
        trials: tally.trials,
        started: tally.started,
        rooted: tally.succeeded,
        one_sided_upper: nothing.map(|count| interval::one_sided_upper(count, 0.95)),
        fit: fit.summary().clone(),
        sentence: facts.sentence(expense.as_ref()),
        expense,
    };
    Ok(Planned { plan, fit })
}

fn fit_of(rows: &[&EvidenceRow], request: &PlanRequest) -> Result<RateFit, propagule_analysis::FitError> {
    let clusters = clusters(rows, Lost::AsFailures, request.source.is_capped());
    rate::fit(&growers(&clusters), &request.model)
}

/// With own counts the others' fit is the prior of the reader's own level.
fn next_trial(
    group: &MethodGroup<'_>,
    all: &RateFit,
    request: &PlanRequest,
) -> Result<NextTrial, propagule_analysis::FitError> {
    let (want, sure) = (request.want, request.sure);
    let own = own_rows(group);
    if own.is_empty() {
        let mean = all.summary().new_grower_rate_mean;
        return Ok(NextTrial::new(None, mean, all.number_to_start(want, sure), |pieces| {
            all.predictive(pieces)
        }));
    }
    let others: Vec<&EvidenceRow> = group.rows.iter().copied().filter(|row| !row.own).collect();
    let trials: Vec<Count> = clusters(&own, Lost::AsFailures, false)
        .into_iter()
        .flat_map(|cluster| cluster.grower.trials)
        .collect();
    let law = fit_of(&others, request)?.next_trial_law(&trials)?;
    let tally = tally(&own);
    let own = OwnCounts { trials: tally.trials, started: tally.started, rooted: tally.succeeded };
    let stick = law.number_to_start(want, sure);
    Ok(NextTrial::new(Some(own), law.mean(), stick, |pieces| law.counts(pieces)))
}

fn expense(stick: u32, request: &PlanRequest) -> Option<Expense> {
    let whole = |each: Option<f64>| each.map(|each| each * f64::from(stick));
    let per_wanted = |whole: Option<f64>| whole.map(|whole| whole / f64::from(request.want));
    let (cost, minutes) = (whole(request.cost), whole(request.minutes));
    (cost.is_some() || minutes.is_some()).then(|| Expense {
        cost,
        cost_per_wanted: per_wanted(cost),
        minutes,
        minutes_per_wanted: per_wanted(minutes),
    })
}
