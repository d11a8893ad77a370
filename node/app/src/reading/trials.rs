//! The evidence itself: every trial of a species with its counts and marks.

use std::collections::BTreeMap;

use propagule_protocol::place::Midpoints;

use crate::evidence::{gather, parse_species};
use crate::{App, PoolQuestion};
use propagule_answer::words;
use propagule_bench::KnownGrower;
use propagule_evidence::{EvidenceRow, group};
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
    /// What the grower is called here.
    pub grower: String,
    /// The first letters of the trial's name.
    pub trial: String,
    /// Its arms.
    pub arms: Vec<ArmEvidence>,
    /// What else to know, in words.
    pub marks: Vec<String>,
    /// Power on the grower's likelihood.
    pub weight: f64,
    /// The published region, in words.
    pub region: String,
}

/// One arm as it is counted.
#[derive(Clone, Debug)]
pub struct ArmEvidence {
    /// Its label.
    pub arm: String,
    /// Its method.
    pub method: String,
    /// In what it differs from the other arms of its trial.
    pub differs: Vec<String>,
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
    let mut by_trial: BTreeMap<&str, Vec<&(String, &EvidenceRow)>> = BTreeMap::new();
    for arm in &arms {
        by_trial.entry(&arm.1.trial).or_default().push(arm);
    }
    let mut all: Vec<Vec<&(String, &EvidenceRow)>> = by_trial.into_values().collect();
    let pieces = |arms: &[&(String, &EvidenceRow)]| arms.iter().map(|arm| arm.1.started).sum::<u32>();
    all.sort_by_cached_key(|arms| {
        let is_other = !arms.iter().any(|arm| arm.1.own);
        (is_other, std::cmp::Reverse(pieces(arms)), arms[0].1.trial.clone())
    });
    let lines = all.iter().skip(skip).take(most).map(|arms| line(arms, &known)).collect();
    Ok(TrialsView { lines, total: all.len(), data_until: gathered.data_until.clone() })
}

/// Arms that the filters admit, with the label of their method.
fn labelled<'a>(rows: &'a [EvidenceRow], question: &PoolQuestion) -> Vec<(String, &'a EvidenceRow)> {
    let part = |pending: bool| {
        let rows = rows.iter().filter(|row| row.pending == pending);
        group(rows, &question.grouping, &mut Vec::new())
    };
    let groups = part(false).into_iter().chain(part(true));
    groups.flat_map(|group| group.rows.into_iter().map(move |row| (group.label.clone(), row))).collect()
}

fn line(arms: &[&(String, &EvidenceRow)], known: &[KnownGrower]) -> TrialEvidence {
    let first = arms[0].1;
    let mut marks: Vec<String> = Vec::new();
    for mark in arms.iter().flat_map(|arm| words::marks(&arm.1.flags)) {
        if !marks.contains(&mark) {
            marks.push(mark);
        }
    }
    let mut lines: Vec<ArmEvidence> =
        arms.iter().map(|(label, row)| arm(label, row, differences(row, arms))).collect();
    lines.sort_by_key(|arm| (arm.arm.parse::<u32>().unwrap_or(u32::MAX), arm.arm.clone()));
    TrialEvidence {
        grower: if first.own { "you".to_owned() } else { called(&first.grower, known) },
        trial: first.trial.rsplit('/').next().unwrap_or_default().chars().take(8).collect(),
        arms: lines,
        marks,
        weight: first.weight,
        region: first.region.as_ref().map(region).unwrap_or_default(),
    }
}

/// Facets in which an arm differs from another one of its trial.
fn differences(row: &EvidenceRow, arms: &[&(String, &EvidenceRow)]) -> Vec<String> {
    let differs =
        |(facet, word): &(&String, &String)| arms.iter().any(|arm| arm.1.facets.get(*facet) != Some(word));
    let facets = row.facets.iter().filter(differs);
    facets.map(|(facet, word)| format!("{} {word}", facet.replace('_', " "))).collect()
}

fn arm(label: &str, row: &EvidenceRow, differs: Vec<String>) -> ArmEvidence {
    ArmEvidence {
        arm: row.arm.clone(),
        method: label.to_owned(),
        differs,
        started: row.started,
        succeeded: (!row.pending).then_some(row.succeeded),
        lost: row.lost,
        waiting: row.still_waiting(),
        weeks: row.weeks,
    }
}

/// A name given at home, with the first letters of the key; a source in print as it stands.
pub(super) fn called(label: &str, known: &[KnownGrower]) -> String {
    if label.starts_with("doi:") {
        return label.to_owned();
    }
    let (key, mark) = label.split_once('/').map_or((label, ""), |(key, mark)| (key, mark));
    let first = |text: &str, most: usize| text.chars().take(most).collect::<String>();
    let short = first(key, 8);
    let named =
        known.iter().find(|grower| grower.key.to_string() == key).and_then(|grower| grower.name.as_ref());
    let name = named.map_or(short.clone(), |name| format!("{name} ({short})"));
    if mark.is_empty() { name } else { format!("{name}, grower {}", first(mark, 4)) }
}

/// The middles of a region's bins, in words.
fn region(middle: &Midpoints) -> String {
    let degrees =
        |what: &str, degrees: Option<f64>| degrees.map(|degrees| format!("{what} about {degrees:.0} °C"));
    let parts = [
        degrees("coldest month", middle.coldest),
        degrees("hottest month", middle.hottest),
        middle.ln_rain.map(|rain| format!("rain about {:.0} mm a year", rain.exp())),
        middle.zone.map(|zone| format!("yearly minimum about {zone:.0} °C")),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join("; ")
}
