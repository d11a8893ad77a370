//! One trial against other growers with the same method, weighted by how near their climate is.
//!
//! Every own arm is compared on its own, never the best of them. Other growers' likelihoods are raised to their
//! climate weight; all own trials are left out. Under mist, fog or a cover, or over a heat mat, peers must have
//! the same environment first, and climate only tilts ([`climate::TILT`]). When Kish's number is below 3 or
//! the weights add up to less than 2, all growers with the method are shown with full weight, and it says so.

pub mod climate;
mod peers;
mod shape;
#[cfg(test)]
mod tests;

use propagule_analysis::compare::{Comparison, against, kish};
use propagule_analysis::{Count, rate};

pub use shape::{ArmAnswer, CompareAnswer, Peer};

use super::question::{CompareQuestion, Given, OwnTrial};
use super::said::{AnswerSaid, CompareFacts, Flag, Wording};
use super::{AnswerError, Warning, notes};
use peers::{Environment, PeerGrower, peer_growers, weighted};
use propagule_evidence::{Evidence, EvidenceRow, FacetWords, Grouping, MethodGroup, Question, group};
use propagule_files::closest;

/// Kish's number below which peers by climate are too few.
pub const ENOUGH_KISH: f64 = 3.0;
/// Sum of weights below which peers by climate are too few.
pub const ENOUGH_WEIGHT: f64 = 2.0;

/// Compares each own arm of the trial; rows of the own grower must be marked [`EvidenceRow::own`].
///
/// # Errors
/// [`AnswerError`] when the trial is not there, has no counts at this stage, or the model refuses the counts.
pub fn compare(
    evidence: &Evidence,
    own: &OwnTrial,
    question: &CompareQuestion,
    given: &Given,
) -> Result<CompareAnswer, AnswerError> {
    check_trial(evidence, &own.label, question.count)?;
    let mut left_out = Vec::new();
    let mut answer = CompareAnswer {
        species: own.species.clone(),
        trial: question.trial.clone(),
        whose: given.whose,
        behind: given.behind.clone(),
        at: question.at.clone(),
        stage: question.count.stage,
        outcome: question.count.outcome,
        arms: Vec::new(),
        peers: Vec::new(),
        warnings: notes(evidence),
    };
    let counted = evidence.rows.iter().filter(|row| !row.pending);
    for group in group(counted, &Grouping::default(), &mut left_out) {
        let arms = group.rows.iter().filter(|row| row.own && row.trial == own.label);
        for arm in arms {
            compare_arm(arm, &group, given.source.is_capped(), &mut answer)?;
        }
    }
    for arm in &mut answer.arms {
        arm.differs_in = differences(evidence, &own.label, &arm.arm);
    }
    answer.arms.sort_by(|a, b| arm_order(&a.arm).cmp(&arm_order(&b.arm)));
    if answer.arms.iter().any(|arm| arm.flag != Flag::Inside) {
        answer.warnings.push(Warning::new("false_flags", AnswerSaid::FalseFlags));
    }
    if given.outside > 0 {
        answer.warnings.push(Warning::new("outside", AnswerSaid::OthersOutside { trials: given.outside }));
    }
    Ok(answer)
}

/// Facets of an own arm that not all arms of its trial share.
fn differences(evidence: &Evidence, trial: &str, arm: &str) -> FacetWords {
    let arms = || evidence.rows.iter().filter(|row| row.own && row.trial == trial);
    let own = arms().find(|row| row.arm == arm).map(|row| row.facets.clone()).unwrap_or_default();
    own.into_iter().filter(|(facet, word)| arms().any(|row| row.facets.get(facet) != Some(word))).collect()
}

/// Numbers before labels, numbers by size.
fn arm_order(arm: &str) -> (u32, &str) {
    (arm.parse().unwrap_or(u32::MAX), arm)
}

fn check_trial(evidence: &Evidence, trial: &str, count: Question) -> Result<(), AnswerError> {
    let own: Vec<&EvidenceRow> = evidence.rows.iter().filter(|row| row.own && row.trial == trial).collect();
    if own.is_empty() {
        let own = evidence.rows.iter().filter(|row| row.own);
        let mut trials: Vec<&str> = own.map(|row| row.trial.as_str()).collect();
        trials.dedup();
        let mut instead = closest(trial, trials.iter().copied(), 3);
        if instead.is_empty() {
            instead = trials.iter().take(3).map(|trial| (*trial).to_owned()).collect();
        }
        return Err(AnswerError::NoSuchTrial { trial: trial.to_owned(), instead });
    }
    if own.iter().all(|row| row.pending) {
        return Err(AnswerError::NotCounted { trial: trial.to_owned(), question: count });
    }
    Ok(())
}

fn compare_arm(
    own: &EvidenceRow,
    group: &MethodGroup<'_>,
    capped: bool,
    answer: &mut CompareAnswer,
) -> Result<(), AnswerError> {
    let others: Vec<&EvidenceRow> = group.rows.iter().copied().filter(|row| !row.own).collect();
    let wording = Wording::new(group.family, answer.outcome);
    if others.is_empty() {
        let (arm, rooted, started) = (own.arm.clone(), own.succeeded, own.started);
        let said = AnswerSaid::NobodyElse { arm, wording, rooted, started };
        answer.warnings.push(Warning::new("nobody_else", said));
        return Ok(());
    }
    let environment = Environment::of(own);
    let near = peer_growers(own, &others, &environment);
    let everyone = peer_growers(own, &others, &Environment::none());
    let choice = choose(own, near, everyone, &environment, capped)
        .map_err(|source| AnswerError::Fit { method: group.label.clone(), source })?;
    answer.peers.extend(choice.peers.iter().map(|peer| peer_line(own, peer, choice.enough)));
    answer.arms.push(choice.into_answer(own, group, wording));
    Ok(())
}

/// The peers shown for one own arm, and what they predict.
struct Choice<'a> {
    peers: Vec<PeerGrower<'a>>,
    fitted: Comparison,
    kish: f64,
    weight_total: f64,
    enough: bool,
    matched_on: Vec<String>,
}

fn choose<'a>(
    own: &EvidenceRow,
    near: Vec<PeerGrower<'a>>,
    everyone: Vec<PeerGrower<'a>>,
    environment: &Environment,
    capped: bool,
) -> Result<Choice<'a>, propagule_analysis::FitError> {
    let count = Count { started: own.started, succeeded: own.succeeded };
    let by_climate = weighted(&near, capped, |peer| peer.near.map_or(0.0, |near| near.weight));
    let kish = kish(by_climate.iter().map(|grower| grower.weight));
    let weight_total = by_climate.iter().map(|grower| grower.weight).sum();
    let enough = kish >= ENOUGH_KISH && weight_total >= ENOUGH_WEIGHT;
    if enough {
        let fitted = against(&by_climate, count, &rate::Options::default())?;
        let matched_on = environment.matched_on(true);
        return Ok(Choice { peers: near, fitted, kish, weight_total, enough, matched_on });
    }
    let fitted = against(&weighted(&everyone, capped, |_| 1.0), count, &rate::Options::default())?;
    let matched_on = vec!["method".to_owned()];
    Ok(Choice { peers: everyone, fitted, kish, weight_total, enough, matched_on })
}

fn peer_line(own: &EvidenceRow, peer: &PeerGrower<'_>, enough: bool) -> Peer {
    let weight = peer.near.map_or(0.0, |near| near.weight);
    Peer {
        arm: own.arm.clone(),
        grower: peer.label.clone(),
        distance: peer.near.map(|near| near.distance),
        weight: if enough { weight } else { 1.0 },
        band: peer.near.map(|near| near.band),
        started: peer.rows.iter().map(|row| row.started).sum(),
        rooted: peer.rows.iter().map(|row| row.succeeded).sum(),
    }
}

impl Choice<'_> {
    fn trials(&self) -> usize {
        let rows = self.peers.iter().flat_map(|peer| &peer.rows);
        rows.map(|row| &row.trial).collect::<std::collections::BTreeSet<_>>().len()
    }

    fn facts(&self, own: &EvidenceRow, wording: Wording, flag: Flag) -> CompareFacts {
        CompareFacts {
            wording,
            own_started: own.started,
            own_succeeded: own.succeeded,
            growers: self.peers.len(),
            enough: self.enough,
            by_climate: self.peers.iter().any(|peer| peer.near.is_some()),
            expected: expected_range(&self.fitted.predictive),
            at_most: self.fitted.prob_at_most_own,
            at_least: self.fitted.prob_at_least_own,
            flag,
        }
    }

    fn into_answer(self, own: &EvidenceRow, group: &MethodGroup<'_>, wording: Wording) -> ArmAnswer {
        let flag = Flag::from_percentile(self.fitted.mid_p_percentile);
        ArmAnswer {
            arm: own.arm.clone(),
            method: group.label.clone(),
            facets: group.facets.clone(),
            differs_in: FacetWords::new(),
            own_stuck: own.started,
            own_rooted: own.succeeded,
            growers: self.peers.len(),
            trials: self.trials(),
            dims: self.peers.iter().filter_map(|peer| peer.near).map(|near| near.dims).max().unwrap_or(0),
            sentence: AnswerSaid::Compared(Box::new(self.facts(own, wording, flag))),
            matched_on: self.matched_on,
            effective_sites_kish: self.kish,
            weight_total: self.weight_total,
            enough: self.enough,
            fit: self.fitted.fit.summary().clone(),
            prob_at_most_own: self.fitted.prob_at_most_own,
            prob_at_least_own: self.fitted.prob_at_least_own,
            mid_p_percentile: self.fitted.mid_p_percentile,
            predictive: self.fitted.predictive,
            flag,
        }
    }
}

/// Numbers of successes at the 2.5 and the 97.5 % point.
fn expected_range(predictive: &[f64]) -> (usize, usize) {
    let at = |share: f64| {
        let mut sum = 0.0;
        let point = predictive.iter().position(|probability| {
            sum += probability;
            sum >= share
        });
        point.unwrap_or(predictive.len().saturating_sub(1))
    };
    (at(0.025), at(0.975))
}
