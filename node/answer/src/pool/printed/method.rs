//! One method in print: its arms, and figures over works, and over growers and works.

use std::collections::{BTreeMap, BTreeSet};

use propagule_analysis::rate;

use super::{PrintedMethodAnswer, PrintedPool, PrintedRowAnswer};
use crate::question::{AskedOfPrint, PoolQuestion};
use crate::said::count_interval;
use crate::{AnswerError, Source};
use propagule_evidence::printed::{AllArms, PrintedArm, PrintedTrials};
use propagule_evidence::{
    Cluster, Evidence, EvidenceRow, Lost, MethodGroup, clusters, group, growers, tally,
};
use propagule_protocol::Taxon;

/// Fewer works than this cannot tell how much works differ.
const FEWEST_SOURCES: usize = 3;

/// Growers' methods, where a figure with them is asked for.
pub(super) struct Growers<'a> {
    groups: Vec<MethodGroup<'a>>,
}

impl<'a> Growers<'a> {
    pub(super) fn new(evidence: &'a Evidence, question: &PoolQuestion) -> Self {
        let is_asked = question.printed == AskedOfPrint::Beside;
        let counted = evidence.rows.iter().filter(|row| is_asked && !row.pending);
        Self { groups: group(counted, &question.grouping, &mut Vec::new()) }
    }

    /// The growers' rows of a method.
    fn of(&self, method: &MethodGroup<'_>) -> &[&'a EvidenceRow] {
        let same =
            self.groups.iter().find(|group| group.facets == method.facets && group.label == method.label);
        same.map_or(&[], |group| &group.rows)
    }
}

/// The answer of a method.
pub(super) fn method_answer(
    group: &MethodGroup<'_>,
    arm_of: &BTreeMap<(&str, &str), &PrintedArm>,
    growers: &Growers<'_>,
    (trials, question): (&PrintedTrials, &PoolQuestion),
) -> Result<PrintedMethodAnswer, AnswerError> {
    let arm = |row: &EvidenceRow| arm_of[&(row.trial.as_str(), row.arm.as_str())];
    let may_be_pooled: Vec<&EvidenceRow> =
        group.rows.iter().copied().filter(|row| arm(row).may_be_pooled()).collect();
    let pooled = pooled(group, &may_be_pooled, &[])?;
    let others = growers.of(group);
    let with_growers = if pooled.is_some() && !others.is_empty() {
        pooled_with(group, &may_be_pooled, others)?
    } else {
        None
    };
    let sums = tally(&group.rows);
    let asked = Taxon::parse(&question.species).ok();
    Ok(PrintedMethodAnswer {
        method: group.label.clone(),
        facets: group.facets.clone(),
        family: group.family,
        sources: sums.growers,
        trials: sums.trials,
        started: sums.started,
        rooted: sums.succeeded,
        rows: group.rows.iter().map(|row| row_answer(arm(row), trials, asked.as_ref())).collect(),
        pooled,
        with_growers,
    })
}

fn pooled_with(
    group: &MethodGroup<'_>,
    print: &[&EvidenceRow],
    others: &[&EvidenceRow],
) -> Result<Option<PrintedPool>, AnswerError> {
    // A work that a grower transcribed and the growers' answer counts is one of its sources, not a grower.
    let theirs: Vec<&EvidenceRow> = others.iter().copied().filter(|row| !row.flags.transcribed).collect();
    if theirs.is_empty() { Ok(None) } else { pooled(group, print, &theirs) }
}

/// A figure over enough works, and over growers beside them; `None` with fewer works.
fn pooled(
    group: &MethodGroup<'_>,
    print: &[&EvidenceRow],
    others: &[&EvidenceRow],
) -> Result<Option<PrintedPool>, AnswerError> {
    let sources: BTreeSet<&str> = print.iter().map(|row| row.grower.as_str()).collect();
    if sources.len() < FEWEST_SOURCES {
        return Ok(None);
    }
    // The cap on what one grower may bring is a rule among strangers who sign; works in print are no such strangers.
    let works = clusters(print, Lost::AsFailures, false);
    let growing = clusters(others, Lost::AsFailures, Source::Network.is_capped());
    let all: Vec<Cluster> = works.into_iter().chain(growing).collect();
    let fit = rate::fit(&growers(&all), &rate::Options::default())
        .map_err(|source| AnswerError::Fit { method: group.label.clone(), source })?;
    let (in_print, of_growers) = (tally(print), tally(others));
    Ok(Some(PrintedPool {
        growers: of_growers.growers,
        sources: in_print.growers,
        arms: in_print.arms,
        started: in_print.started.saturating_add(of_growers.started),
        rooted: in_print.succeeded.saturating_add(of_growers.succeeded),
        ..PrintedPool::of(fit.summary())
    }))
}

fn row_answer(arm: &PrintedArm, trials: &PrintedTrials, asked: Option<&Taxon>) -> PrintedRowAnswer {
    let (low, high) = count_interval(arm.succeeded, arm.started);
    let is_another = asked.is_some_and(|asked| asked.to_string() != arm.taxon.to_string());
    PrintedRowAnswer {
        source: arm.source.clone(),
        year: trials.source(&arm.source).and_then(propagule_evidence::printed::PrintedSource::year),
        trial: arm.trial.clone(),
        arm: arm.arm.clone(),
        treatment: arm.label.clone(),
        species: is_another.then(|| arm.taxon.to_string()),
        started: arm.started,
        rooted: arm.succeeded,
        interval: [low, high],
        weeks: arm.weeks,
        month: arm.month,
        country: arm.country.clone(),
        all_arms_reported: arm.all_arms,
        in_pool: arm.all_arms != AllArms::No,
        grade: arm.grade,
        count_basis: arm.basis.clone(),
        other: arm.other.clone(),
        remark: arm.remark.clone(),
    }
}
