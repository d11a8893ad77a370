//! The number to start by one method.

use propagule_analysis::planning::MOST_PIECES;
use propagule_analysis::rate::RateFit;
use propagule_analysis::{Count, Grower, interval, rate};

use super::{Basis, MethodPlan, OwnCounts, WhyNot, own_rows};
use crate::AnswerError;
use crate::learnt::{Own, Taught};
use crate::question::{Asked, Exact, PlanQuestion};
use crate::said::{AnswerSaid, Expense, StickFacts, Wording};
use propagule_evidence::{EvidenceRow, Family, Lost, MethodGroup, clusters, growers, tally};

/// A method's plan, and what other plants teach about it.
#[derive(Clone, Debug)]
pub(super) struct Planned {
    pub(super) plan: MethodPlan,
    pub(super) family: Family,
    pub(super) taught: Option<Taught>,
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

pub(super) fn planned(
    group: &MethodGroup<'_>,
    asked: &Asked<'_, PlanQuestion>,
) -> Result<Planned, AnswerError> {
    let refused = |source| AnswerError::Fit { method: group.label.clone(), source };
    let tally = tally(&group.rows);
    let own = growers_of(&group.rows, asked);
    let fit = rate::fit(&own, &rate::Options::default()).map_err(refused)?;
    let taught = taught(group, &Own { growers: &own, alone: &fit }, asked);
    let next = next_trial(group, &fit, taught.as_ref(), asked).map_err(refused)?;
    let stick = next.stick.filter(|_| tally.succeeded > 0);
    let why_not = match (tally.succeeded, stick) {
        (0, _) => Some(WhyNot::NothingRooted),
        (_, None) => Some(WhyNot::NotAttainable),
        (_, Some(_)) => None,
    };
    let nothing = Count::new(tally.started, 0).ok().filter(|_| tally.succeeded == 0);
    let facts = StickFacts {
        wording: Wording::new(group.family, asked.question.count.outcome),
        want: asked.question.aim.want,
        sure: asked.question.aim.sure.get(),
        stick,
        most: MOST_PIECES,
        started: tally.started,
        succeeded: tally.succeeded,
        growers: tally.growers,
        own: next.own.map(|own| (own.rooted, own.started)),
    };
    let expense = stick.and_then(|stick| expense(stick, asked));
    let plan = MethodPlan {
        method: group.label.clone(),
        facets: group.facets.clone(),
        stick,
        why_not,
        basis: if next.own.is_some() { Basis::Own } else { Basis::NewGrower },
        own: next.own,
        next_trial_rate_mean: next.mean,
        chance: stick.map(|_| next.chance(asked.question.aim.want)),
        outcomes: stick.map(|_| outcomes(&next.counts)),
        growers: tally.growers,
        trials: tally.trials,
        started: tally.started,
        rooted: tally.succeeded,
        one_sided_upper: nothing.map(|count| interval::one_sided_upper(count, 0.95)),
        fit: taught.as_ref().map_or(fit.summary(), |taught| taught.led(asked.given.has_strangers())).clone(),
        sentence: AnswerSaid::Stick { facts: Box::new(facts), expense },
        expense,
    };
    Ok(Planned { plan, family: group.family, taught })
}

fn growers_of(rows: &[&EvidenceRow], asked: &Asked<'_, PlanQuestion>) -> Vec<Grower> {
    growers(&clusters(rows, Lost::AsFailures, asked.given.source.is_capped()))
}

/// What other plants teach about the method; nothing where that did not settle, which the answer says.
fn taught(group: &MethodGroup<'_>, own: &Own<'_>, asked: &Asked<'_, PlanQuestion>) -> Option<Taught> {
    let (learnt, species) = asked.given.learning.learnt()?;
    learnt.teach(species, (group.family, &group.facets), own).ok().flatten()
}

/// With own counts what is known of others is the prior of the reader's own level.
fn next_trial(
    group: &MethodGroup<'_>,
    all: &RateFit,
    taught: Option<&Taught>,
    asked: &Asked<'_, PlanQuestion>,
) -> Result<NextTrial, propagule_analysis::FitError> {
    let (want, sure) = (asked.question.aim.want, asked.question.aim.sure.get());
    let own = own_rows(group);
    let taught = taught.filter(|taught| !taught.own_counts_lead(asked.given.has_strangers()));
    if let (true, Some(taught)) = (own.is_empty(), taught) {
        let law = &taught.expected.new_grower;
        let stick = law.number_to_start(want, sure);
        return Ok(NextTrial::new(None, law.mean(), stick, |pieces| law.counts(pieces)));
    }
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
    let growers = growers_of(&others, asked);
    let alone = rate::fit(&growers, &rate::Options::default())?;
    let others = Own { growers: &growers, alone: &alone };
    let taught = match taught.and(asked.given.learning.learnt()) {
        // Nothing where that did not settle, which the answer says.
        Some((learnt, species)) => {
            learnt.next_trial(species, (group.family, &group.facets), &others, &trials).ok().flatten()
        }
        None => None,
    };
    let law = match taught {
        Some(law) => law,
        None => alone.next_trial_law(&trials)?,
    };
    let tally = tally(&own);
    let own = OwnCounts { trials: tally.trials, started: tally.started, rooted: tally.succeeded };
    let stick = law.number_to_start(want, sure);
    Ok(NextTrial::new(Some(own), law.mean(), stick, |pieces| law.counts(pieces)))
}

fn expense(stick: u32, asked: &Asked<'_, PlanQuestion>) -> Option<Expense> {
    let whole = |each: Option<Exact>| each.map(|each| each.get() * f64::from(stick));
    let per_wanted = |whole: Option<f64>| whole.map(|whole| whole / f64::from(asked.question.aim.want));
    let (cost, minutes) = (whole(asked.question.aim.cost), whole(asked.question.aim.minutes));
    (cost.is_some() || minutes.is_some()).then(|| Expense {
        cost,
        cost_per_wanted: per_wanted(cost),
        minutes,
        minutes_per_wanted: per_wanted(minutes),
    })
}
