//! The evidence itself: every trial of a species with its counts and marks.

use std::collections::BTreeMap;

use propagule_protocol::place::Midpoints;

use crate::evidence::{gather, parse_species};
use crate::{App, PoolQuestion};
use propagule_bench::KnownGrower;
use propagule_evidence::{EvidenceRow, FacetWords, Family, MethodGroup, RowFlags, group};
use propagule_files::fault::Fault;

/// A part of the list of trials.
#[derive(Clone, Debug)]
pub struct TrialsView {
    pub lines: Vec<TrialEvidence>,
    pub total: usize,
    pub data_until: Option<String>,
}

/// One trial as it is counted.
#[derive(Clone, Debug)]
pub struct TrialEvidence {
    /// Whose it is.
    pub grower: WhoseTrial,
    /// The first letters of the trial's name.
    pub trial: String,
    /// Its arms.
    pub arms: Vec<ArmEvidence>,
    /// What else to know, arm by arm.
    pub marks: Vec<RowFlags>,
    /// Power on the grower's likelihood.
    pub weight: f64,
    /// The published region.
    pub region: Option<Midpoints>,
}

/// Whose a trial is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum WhoseTrial {
    /// The reader's own.
    Own,
    /// A source in print.
    Printed(String),
    /// Another grower's.
    Other {
        /// The name given at home.
        name: Option<String>,
        /// The first letters of the key.
        key: String,
        /// The first letters of the mark of one that the key entered it for; empty where it is the key's own.
        mark: String,
    },
}

/// One arm as it is counted.
#[derive(Clone, Debug)]
pub struct ArmEvidence {
    /// Its label.
    pub arm: String,
    /// Its method.
    pub method: String,
    /// The details that make its method, with their words.
    pub facets: FacetWords,
    /// Whose words its kind has.
    pub family: Family,
    /// Facets, with their words, in which it differs from the other arms of its trial.
    pub differs: Vec<(String, String)>,
    /// How many were started.
    pub started: u32,
    /// None while it is not counted at this stage.
    pub succeeded: Option<u32>,
    /// How many were lost.
    pub lost: u32,
    /// How many nobody has counted yet.
    pub waiting: u32,
    /// Weeks from start to count.
    pub weeks: Option<u16>,
}

/// Trials of a species that the filters admit, own ones first, then those with most pieces.
pub fn trials(app: &App, question: &PoolQuestion, skip: usize, most: usize) -> Result<TrialsView, Fault> {
    let taxon = parse_species(&question.species)?;
    let gathered = gather(app, &taxon, question.count, question.scope)?;
    let known: Vec<KnownGrower> = app.bench().growers().cloned().collect();
    let arms = labelled(&gathered.evidence.rows, question);
    let mut by_trial: BTreeMap<&str, Vec<&Arm<'_>>> = BTreeMap::new();
    for arm in &arms {
        by_trial.entry(&arm.1.trial).or_default().push(arm);
    }
    let mut all: Vec<Vec<&Arm<'_>>> = by_trial.into_values().collect();
    let pieces = |arms: &[&Arm<'_>]| arms.iter().map(|arm| arm.1.started).sum::<u32>();
    all.sort_by_cached_key(|arms| {
        let is_other = !arms.iter().any(|arm| arm.1.own);
        (is_other, std::cmp::Reverse(pieces(arms)), arms[0].1.trial.clone())
    });
    let lines = all.iter().skip(skip).take(most).map(|arms| line(arms, &known)).collect();
    Ok(TrialsView { lines, total: all.len(), data_until: gathered.data_until.clone() })
}

/// The method of an arm.
struct Method {
    label: String,
    facets: FacetWords,
    family: Family,
}

/// An arm with its method.
type Arm<'a> = (Method, &'a EvidenceRow);

/// Arms that the filters admit, with their methods.
fn labelled<'a>(rows: &'a [EvidenceRow], question: &PoolQuestion) -> Vec<Arm<'a>> {
    let part = |pending: bool| {
        let rows = rows.iter().filter(|row| row.pending == pending);
        group(rows, &question.grouping, &mut Vec::new())
    };
    let groups = part(false).into_iter().chain(part(true));
    let of = |group: MethodGroup<'a>| {
        let MethodGroup { label, facets, family, rows } = group;
        rows.into_iter()
            .map(move |row| (Method { label: label.clone(), facets: facets.clone(), family }, row))
    };
    groups.flat_map(of).collect()
}

fn line(arms: &[&Arm<'_>], known: &[KnownGrower]) -> TrialEvidence {
    let first = arms[0].1;
    let mut lines: Vec<ArmEvidence> =
        arms.iter().map(|(method, row)| arm(method, row, differences(row, arms))).collect();
    lines.sort_by_key(|arm| (arm.arm.parse::<u32>().unwrap_or(u32::MAX), arm.arm.clone()));
    TrialEvidence {
        grower: if first.own { WhoseTrial::Own } else { whose(&first.grower, known) },
        trial: first.trial.rsplit('/').next().unwrap_or_default().chars().take(8).collect(),
        arms: lines,
        marks: arms.iter().map(|arm| arm.1.flags).collect(),
        weight: first.weight,
        region: first.region,
    }
}

/// Facets in which an arm differs from another one of its trial.
fn differences(row: &EvidenceRow, arms: &[&Arm<'_>]) -> Vec<(String, String)> {
    let differs =
        |(facet, word): &(&String, &String)| arms.iter().any(|arm| arm.1.facets.get(*facet) != Some(word));
    let facets = row.facets.iter().filter(differs);
    facets.map(|(facet, word)| (facet.clone(), word.clone())).collect()
}

fn arm(method: &Method, row: &EvidenceRow, differs: Vec<(String, String)>) -> ArmEvidence {
    ArmEvidence {
        arm: row.arm.clone(),
        method: method.label.clone(),
        facets: method.facets.clone(),
        family: method.family,
        differs,
        started: row.started,
        succeeded: (!row.pending).then_some(row.succeeded),
        lost: row.lost,
        waiting: row.still_waiting(),
        weeks: row.weeks,
    }
}

/// Whose a row is, by its label: a source in print, or a key with the mark of whom it was entered for.
fn whose(label: &str, known: &[KnownGrower]) -> WhoseTrial {
    if label.starts_with("doi:") {
        return WhoseTrial::Printed(label.to_owned());
    }
    let (key, mark) = label.split_once('/').map_or((label, ""), |(key, mark)| (key, mark));
    let first = |text: &str, most: usize| text.chars().take(most).collect::<String>();
    let named = known.iter().find(|grower| grower.key.to_string() == key);
    let name = named.and_then(|grower| grower.name.clone());
    WhoseTrial::Other { name, key: first(key, 8), mark: first(mark, 4) }
}
