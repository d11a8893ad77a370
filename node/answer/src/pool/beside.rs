//! What stands beside an answer about chosen growers: everybody's figures, and what one vouch carries.

use std::collections::BTreeMap;

use propagule_analysis::rate;

use super::{AuthorInfluence, EverybodyAnswer, MethodAnswer, VouchInfluence, method};
use crate::question::{Asked, Given, PoolQuestion};
use crate::said::{AnswerSaid, EverybodyFacts, Rates};
use crate::{AnswerError, Warning};
use propagule_evidence::{Evidence, EvidenceRow, Lost, MethodGroup, clusters, group, growers, tally};

/// What the evidence decides, everybody's where the answer is about some growers only, and the circle as it would be
/// without each vouch.
#[derive(Clone, Debug, Default)]
pub struct Beside<'a> {
    /// Where the evidence comes from, and whose it is.
    pub given: Given,
    /// With everybody's records; none where the answer is about everybody.
    pub everybody: Option<&'a Evidence>,
    /// With strangers, where they were set apart; none else.
    pub with_new: Option<&'a Evidence>,
    /// One circle for every vouch left out; empty unless asked for.
    pub cuts: Vec<Cut>,
}

/// The circle without one vouch.
#[derive(Clone, Debug, PartialEq)]
pub struct Cut {
    /// The vouch, or the trust kept at home, is the reader's own.
    pub is_own: bool,
    /// Label of the grower who vouches.
    pub from: String,
    /// Label of the grower vouched for.
    pub to: String,
    /// Weights of publishers that count in the whole circle, by label; who is missing counts for nothing.
    pub weights: BTreeMap<String, f64>,
}

/// Puts everybody's figures beside those of each method, and says where the two disagree.
pub(super) fn add_everybody(
    methods: &mut [MethodAnswer],
    everybody: &Evidence,
    asked: &Asked<'_, PoolQuestion>,
) -> Result<Vec<Warning>, AnswerError> {
    let counted = everybody.rows.iter().filter(|row| !row.pending);
    let groups = group(counted, &asked.question.grouping, &mut Vec::new());
    let mut warnings = Vec::new();
    let several = methods.len() > 1;
    for answer in methods.iter_mut() {
        let Some(group) = groups.iter().find(|group| group.label == answer.method) else { continue };
        let tally = tally(&group.rows);
        let fit = method::fit(group, Lost::AsFailures, asked)?;
        let facts = EverybodyFacts {
            growers: tally.growers,
            started: tally.started,
            succeeded: tally.succeeded,
            rates: Rates::from(&fit),
            circle: Rates::from(&answer.fit),
        };
        if facts.differs() {
            let method = several.then(|| answer.method.clone());
            warnings.push(Warning::new("circle_differs", AnswerSaid::CircleDiffers { method }));
        }
        answer.everybody = Some(EverybodyAnswer {
            growers: tally.growers,
            trials: tally.trials,
            started: tally.started,
            rooted: tally.succeeded,
            differs: facts.differs(),
            fit,
        });
    }
    let outside = groups.iter().filter(|group| methods.iter().all(|answer| answer.method != group.label));
    let outside = outside.count();
    if outside > 0 {
        warnings.push(Warning::new("outside_only", AnswerSaid::OutsideOnly { methods: outside }));
    }
    Ok(warnings)
}

/// What the headline is without each author that brings more than one grower.
pub(super) fn authors(
    groups: &[MethodGroup<'_>],
    asked: &Asked<'_, PoolQuestion>,
) -> Result<Vec<AuthorInfluence>, AnswerError> {
    let mut lines = Vec::new();
    for group in groups {
        let mut brings: BTreeMap<&str, std::collections::BTreeSet<&str>> = BTreeMap::new();
        for row in &group.rows {
            brings.entry(&row.publisher).or_default().insert(&row.grower);
        }
        for (author, growers) in brings.iter().filter(|(_, growers)| growers.len() > 1) {
            let others: Vec<&EvidenceRow> =
                group.rows.iter().copied().filter(|row| row.publisher != *author).collect();
            lines.push(AuthorInfluence {
                method: group.label.clone(),
                author: (*author).to_owned(),
                growers: growers.len(),
                average_grower_rate_without: average(group, &others, asked)?,
            });
        }
    }
    Ok(lines)
}

/// What the headline of each method is without each vouch.
pub(super) fn vouches(
    groups: &[MethodGroup<'_>],
    cuts: &[Cut],
    asked: &Asked<'_, PoolQuestion>,
) -> Result<Vec<VouchInfluence>, AnswerError> {
    let mut lines = Vec::new();
    for cut in cuts {
        for group in groups {
            let weight = |row: &EvidenceRow| {
                if row.own { 1.0 } else { cut.weights.get(&row.publisher).copied().unwrap_or(0.0) }
            };
            if group.rows.iter().all(|row| (weight(row) - row.weight).abs() < 1e-12) {
                continue;
            }
            let rows: Vec<EvidenceRow> = group
                .rows
                .iter()
                .map(|row| EvidenceRow { weight: weight(row), ..(*row).clone() })
                .filter(|row| row.weight > 0.0)
                .collect();
            lines.push(VouchInfluence {
                method: group.label.clone(),
                is_own: cut.is_own,
                from: cut.from.clone(),
                to: cut.to.clone(),
                average_grower_rate_without: average(group, &rows.iter().collect::<Vec<_>>(), asked)?,
            });
        }
    }
    Ok(lines)
}

/// The average grower's rate over some rows of a group; `None` where none are left.
fn average(
    group: &MethodGroup<'_>,
    rows: &[&EvidenceRow],
    asked: &Asked<'_, PoolQuestion>,
) -> Result<Option<f64>, AnswerError> {
    if rows.is_empty() {
        return Ok(None);
    }
    let growers = growers(&clusters(rows, Lost::AsFailures, asked.given.source.is_capped()));
    let fitted = rate::fit(&growers, &rate::Options::default())
        .map_err(|source| AnswerError::Fit { method: group.label.clone(), source })?;
    Ok(Some(fitted.summary().average_grower_rate_mean))
}
