//! All methods that trials link, in one model: who is best, and how sure that is.
//!
//! Only the largest group of linked methods is modelled: between groups nothing may be ranked. Methods seen only where
//! nothing (or everything) succeeded carry no information and are left out.

use std::collections::{BTreeMap, BTreeSet};

use propagule_analysis::Count;
use propagule_analysis::network::{NetworkFit, NetworkOptions, NetworkTrial, TrialArm, bayes, components};

use super::NetworkAnswer;
use crate::AnswerError;
use crate::question::{Asked, PoolQuestion};
use crate::said::{AnswerSaid, RankFacts};
use propagule_evidence::{EvidenceRow, MethodGroup};

/// Most methods and trials that are put into one model.
const MOST_METHODS: usize = 24;
const MOST_TRIALS: usize = 1_000;

/// Successes and pieces of one method in one trial.
type Cell = (u32, u32);

/// Methods linked by trials in which a difference could be seen; `None` with fewer than two of them, or where the
/// outcome ranks nothing.
pub(super) fn network(
    groups: &[MethodGroup<'_>],
    asked: &Asked<'_, PoolQuestion>,
) -> Result<Option<NetworkAnswer>, AnswerError> {
    if !asked.question.count.ranks_methods() {
        return Ok(None);
    }
    let trials: Vec<Linked> =
        trials(groups, asked).into_iter().filter(|linked| linked.trial.is_informative()).collect();
    let links: Vec<NetworkTrial> = trials.iter().map(|linked| linked.trial.clone()).collect();
    let largest = components(groups.len(), &links).into_iter().next().unwrap_or_default();
    if !(2..=MOST_METHODS).contains(&largest.len()) {
        return Ok(None);
    }
    let trials: Vec<Linked> = trials.into_iter().filter_map(|linked| linked.within(&largest)).collect();
    let only_pots = trials.len() == 1 && trials[0].single_replicate;
    if trials.len() > MOST_TRIALS || only_pots {
        return Ok(None);
    }
    let methods: Vec<String> = largest.iter().map(|method| groups[*method].label.clone()).collect();
    let single_replicate = trials.iter().filter(|linked| linked.single_replicate).count();
    let trials: Vec<NetworkTrial> = trials.into_iter().map(|linked| linked.trial).collect();
    let fit = bayes(methods.len(), &trials, &NetworkOptions::default())
        .map_err(|source| AnswerError::Linked { source })?;
    Ok(Some(answer(methods, single_replicate, &trials, fit)))
}

/// One trial of the network.
struct Linked {
    trial: NetworkTrial,
    /// Some arm stood in one pot, tray or row.
    single_replicate: bool,
}

impl Linked {
    /// The trial with its methods numbered as in `methods`, which is sorted; `None` where one is not among them.
    fn within(self, methods: &[usize]) -> Option<Self> {
        let arm =
            |arm: &TrialArm| Some(TrialArm { method: methods.binary_search(&arm.method).ok()?, ..*arm });
        let arms = self.trial.arms.iter().map(arm).collect::<Option<Vec<TrialArm>>>()?;
        Some(Self { trial: NetworkTrial { arms }, ..self })
    }
}

/// Trials with the arms of each method added up. Lots ask no question, an uneven split of stock plants or an unlisted
/// difference leaves the methods unseparated, and one pot an arm may be the pots' doing.
fn trials(groups: &[MethodGroup<'_>], asked: &Asked<'_, PoolQuestion>) -> Vec<Linked> {
    let mut rows: BTreeMap<&str, Vec<Member<'_>>> = BTreeMap::new();
    for (method, group) in groups.iter().enumerate() {
        for row in group.rows.iter().filter(|row| is_fit(row, asked)) {
            rows.entry(&row.trial).or_default().push(Member { method, row });
        }
    }
    let mut trials: BTreeMap<&str, (BTreeMap<usize, Cell>, bool)> = BTreeMap::new();
    for (trial, members) in rows {
        for Member { method, row } in alike(&members, groups) {
            let (cells, single_replicate) = trials.entry(trial).or_default();
            let cell = cells.entry(method).or_default();
            cell.0 = cell.0.saturating_add(row.succeeded);
            cell.1 = cell.1.saturating_add(row.started);
            *single_replicate |= row.flags.single_replicate;
        }
    }
    let arm = |(method, (succeeded, started)): (usize, Cell)| TrialArm {
        method,
        count: Count { started, succeeded },
    };
    let linked = |(cells, single_replicate): (BTreeMap<usize, Cell>, bool)| Linked {
        trial: NetworkTrial { arms: cells.into_iter().map(arm).collect() },
        single_replicate,
    };
    trials.into_values().map(linked).collect()
}

/// An arm of a trial and its method.
#[derive(Clone, Copy)]
struct Member<'a> {
    method: usize,
    row: &'a EvidenceRow,
}

/// The arms that differ from the other methods of their trial in nothing but what makes the methods: all other facets and
/// moves must be found in every method of the trial, or a difference could as well be theirs.
fn alike<'a>(members: &[Member<'a>], groups: &[MethodGroup<'_>]) -> Vec<Member<'a>> {
    let methods: BTreeSet<usize> = members.iter().map(|member| member.method).collect();
    let own: BTreeSet<&String> = methods.iter().flat_map(|method| groups[*method].facets.keys()).collect();
    let rest = |member: &Member<'a>| {
        let facets = member.row.facets.iter().filter(|(name, _)| !own.contains(name));
        (facets.collect::<Vec<_>>(), &member.row.phases)
    };
    let in_all = |member: &Member<'a>| {
        let rest_of = rest(member);
        methods
            .iter()
            .all(|method| members.iter().any(|other| other.method == *method && rest(other) == rest_of))
    };
    members.iter().copied().filter(|member| in_all(member)).collect()
}

/// Whether the row's grower counts in part: the one model takes whole trials only.
fn is_part(row: &EvidenceRow) -> bool {
    row.weight < 1.0
}

/// Whether growers who count in part are missing from the model.
pub(super) fn leaves_parts_out(groups: &[MethodGroup<'_>]) -> bool {
    groups.iter().flat_map(|group| &group.rows).any(|row| is_part(row))
}

fn is_fit(row: &EvidenceRow, asked: &Asked<'_, PoolQuestion>) -> bool {
    if is_part(row) {
        return false;
    }
    let flags = row.flags;
    let set_apart = flags.unlisted_difference.is_some() || flags.start_offset != 0;
    let left_out = asked.question.replicated_only && flags.single_replicate;
    !(flags.lot || flags.stock_plants_uneven || set_apart || left_out)
}

fn answer(
    methods: Vec<String>,
    single_replicate: usize,
    trials: &[NetworkTrial],
    fit: NetworkFit,
) -> NetworkAnswer {
    let counts = counts(methods.len(), trials);
    let facts = RankFacts {
        methods: &methods,
        trials: fit.trials_used,
        single_replicate,
        better: &fit.prob_row_better_than_column,
        first: &fit.rank_prob.iter().map(|ranks| ranks[0]).collect::<Vec<_>>(),
    };
    NetworkAnswer {
        sentence: AnswerSaid::Ranked(facts.ranked()),
        trials: fit.trials_used,
        single_replicate,
        rooted: counts.iter().map(|cell| cell.0).collect(),
        started: counts.iter().map(|cell| cell.1).collect(),
        methods,
        d_mean: fit.d_mean,
        d_sd: fit.d_sd,
        d_q025: fit.d_q025,
        d_q975: fit.d_q975,
        m_mean: fit.m_mean,
        s_mean: fit.s_mean,
        tau_mean: fit.tau_mean,
        rank_prob: fit.rank_prob,
        prob_row_better_than_column: fit.prob_row_better_than_column,
    }
}

/// Successes and pieces of each method over the trials.
fn counts(methods: usize, trials: &[NetworkTrial]) -> Vec<Cell> {
    let mut counts = vec![(0_u32, 0_u32); methods];
    for arm in trials.iter().flat_map(|trial| &trial.arms) {
        let cell = &mut counts[arm.method];
        cell.0 = cell.0.saturating_add(arm.count.succeeded);
        cell.1 = cell.1.saturating_add(arm.count.started);
    }
    counts
}
