//! The number to start by one method.

use propagule_analysis::planning::MOST_PIECES;
use propagule_analysis::rate::RateFit;
use propagule_analysis::{Count, interval, rate};

use super::{Expense, MethodPlan, OwnCounts, PlanRequest, own_rows};
use crate::answer::AnswerError;
use crate::answer::words::{StickFacts, Wording, start_verb};
use crate::evidence::{EvidenceRow, Lost, MethodGroup, clusters, growers, tally};

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
        return Ok(NextTrial { own: None, mean, stick: all.number_to_start(want, sure) });
    }
    let others: Vec<&EvidenceRow> = group.rows.iter().copied().filter(|row| !row.own).collect();
    let trials: Vec<Count> = clusters(&own, Lost::AsFailures, false)
        .into_iter()
        .flat_map(|cluster| cluster.grower.trials)
        .collect();
    let law = fit_of(&others, request)?.next_trial_law(&trials)?;
    let tally = tally(&own);
    let own = OwnCounts { trials: tally.trials, started: tally.started, rooted: tally.succeeded };
    Ok(NextTrial { own: Some(own), mean: law.mean(), stick: law.number_to_start(want, sure) })
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
