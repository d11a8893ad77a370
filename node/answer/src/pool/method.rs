//! One method's rate: counts, model, both readings of unscored pieces, words.

use propagule_analysis::rate::{RateFit, RateSummary};
use propagule_analysis::{Count, Grower, interval, rate};

use super::MethodAnswer;
use crate::learnt::Own;
use crate::question::{Asked, PoolQuestion};
use crate::said::{AnswerSaid, RateFacts, Rates, Wording};
use crate::{AnswerError, parallel};
use propagule_evidence::{EvidenceRow, Lost, MethodGroup, Tally, clusters, growers, tally};

/// Growers of a method with the default model of their counts.
pub(super) struct Alone {
    growers: Vec<Grower>,
    fit: RateFit,
}

impl Alone {
    /// As what is learnt from others takes them.
    pub(super) fn own(&self) -> Own<'_> {
        Own { growers: &self.growers, alone: &self.fit }
    }
}

/// Answers for all methods, in the order of the groups, and what each rests on.
pub(super) fn method_answers(
    groups: &[MethodGroup<'_>],
    silent: &[Vec<&EvidenceRow>],
    asked: &Asked<'_, PoolQuestion>,
) -> Result<(Vec<MethodAnswer>, Vec<Alone>), AnswerError> {
    let items: Vec<(&MethodGroup<'_>, &Vec<&EvidenceRow>)> = groups.iter().zip(silent).collect();
    let answered = parallel::map(&items, |(group, silent)| {
        let alone = alone(group, Lost::AsFailures, asked)?;
        let (answer, facts) = method_answer(group, silent, alone.fit.summary().clone(), asked)?;
        Ok((alone, (answer, facts)))
    });
    let answered = answered.into_iter().collect::<Result<Vec<_>, AnswerError>>()?;
    let (alone, answered): (Vec<Alone>, Vec<(MethodAnswer, RateFacts)>) = answered.into_iter().unzip();
    let (mut answers, facts): (Vec<MethodAnswer>, Vec<RateFacts>) = answered.into_iter().unzip();
    let flips = order_flips(&answers);
    for ((answer, facts), flips) in answers.iter_mut().zip(facts).zip(flips) {
        let order_flips = flips && asked.question.count.ranks_methods();
        answer.sentence = AnswerSaid::Rate(Box::new(RateFacts { order_flips, ..facts }));
    }
    Ok((answers, alone))
}

/// The rate model on the counted arms of a group.
fn alone(group: &MethodGroup<'_>, lost: Lost, asked: &Asked<'_, PoolQuestion>) -> Result<Alone, AnswerError> {
    let growers = growers(&clusters(&group.rows, lost, asked.given.source.is_capped()));
    let fit = rate::fit(&growers, &rate::Options::default())
        .map_err(|source| AnswerError::Fit { method: group.label.clone(), source })?;
    Ok(Alone { growers, fit })
}

/// The same in figures.
pub(super) fn fit(
    group: &MethodGroup<'_>,
    lost: Lost,
    asked: &Asked<'_, PoolQuestion>,
) -> Result<RateSummary, AnswerError> {
    Ok(alone(group, lost, asked)?.fit.summary().clone())
}

fn method_answer(
    group: &MethodGroup<'_>,
    silent: &[&EvidenceRow],
    summary: RateSummary,
    asked: &Asked<'_, PoolQuestion>,
) -> Result<(MethodAnswer, RateFacts), AnswerError> {
    let tally = tally(&group.rows);
    let lost_left_out = match tally.lost {
        0 => None,
        _ => Some(fit(group, Lost::LeftOut, asked)?),
    };
    let silent_as_zero = if silent.is_empty() {
        None
    } else {
        let rows = group.rows.iter().chain(silent).copied().collect();
        Some(fit(&MethodGroup { rows, ..group.clone() }, Lost::AsFailures, asked)?)
    };
    let wording = Wording::new(group.family, asked.question.count.outcome);
    let facts = facts(&tally, wording, &summary, lost_left_out.as_ref());
    let nothing = Count::new(tally.started, 0).ok().filter(|_| tally.succeeded == 0);
    let answer = MethodAnswer {
        method: group.label.clone(),
        facets: group.facets.clone(),
        growers: tally.growers,
        publishers: tally.publishers,
        trials: tally.trials,
        arms: tally.arms,
        arms_none: tally.arms_none,
        started: tally.started,
        rooted: tally.succeeded,
        lost: tally.lost,
        still_waiting: tally.still_waiting,
        mixed_arms: tally.mixed_arms,
        weeks: tally.weeks.map(|(fewest, most)| [fewest, most]),
        one_sided_upper: nothing.map(|count| interval::one_sided_upper(count, 0.95)),
        fit: summary,
        borrowed: None,
        without: None,
        law: None,
        sentence: AnswerSaid::Nothing,
        lost_left_out,
        silent_as_zero,
        everybody: None,
        moved: Vec::new(),
        whole_life: None,
        family: group.family,
        lead: facts.lead(),
    };
    Ok((answer, facts))
}

fn facts(
    tally: &Tally,
    wording: Wording,
    summary: &RateSummary,
    lost_left_out: Option<&RateSummary>,
) -> RateFacts {
    RateFacts {
        wording,
        started: tally.started,
        succeeded: tally.succeeded,
        lost: tally.lost,
        still_waiting: tally.still_waiting,
        growers: tally.growers,
        publishers: tally.publishers,
        marks_joined: tally.marks_joined,
        trials: tally.trials,
        arms: tally.arms,
        arms_none: tally.arms_none,
        weeks: tally.weeks,
        rates: Rates::from(summary),
        borrowed: None,
        lost_left_out: lost_left_out.map(Rates::from),
        order_flips: false,
    }
}

/// For each method: whether leaving unscored pieces out moves it past another method.
fn order_flips(answers: &[MethodAnswer]) -> Vec<bool> {
    let averages: Vec<(f64, f64)> = answers
        .iter()
        .map(|answer| {
            let headline = answer.fit.average_grower_rate_mean;
            let other = answer.lost_left_out.as_ref().map_or(headline, |fit| fit.average_grower_rate_mean);
            (headline, other)
        })
        .collect();
    let flips = |a: (f64, f64), b: (f64, f64)| (a.0 - b.0) * (a.1 - b.1) < 0.0;
    averages
        .iter()
        .zip(answers)
        .map(|(own, answer)| answer.lost > 0 && averages.iter().any(|other| flips(*own, *other)))
        .collect()
}
