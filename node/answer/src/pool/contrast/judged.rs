//! What one trial of the evidence says of two words of a facet, by the verdict engine.

use std::collections::{BTreeMap, BTreeSet};

use propagule_analysis::Pair;
use propagule_analysis::verdict::{Arm, Design, Judged, PairVerdict, Trial, Unit, Verdict, judge};

use propagule_bench::compared::UNLISTED;
use propagule_evidence::EvidenceRow;

/// One trial's part in a contrast.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Seen {
    pub(super) strata: Vec<Pair>,
    pub(super) phi: f64,
    pub(super) design: Design,
    /// The trial's own verdict, in the family that the trial asks about.
    pub(super) verdict: Verdict,
    pub(super) first_is_better: Option<bool>,
    pub(super) p: Option<f64>,
}

impl Seen {
    fn of(pair: &PairVerdict, is_turned: bool) -> Option<Self> {
        let comparison = &pair.reading.as_ref()?.comparison;
        let turned = |pair: &Pair| Pair { first: pair.second, second: pair.first };
        let strata = &comparison.strata;
        Some(Self {
            strata: if is_turned { strata.iter().map(turned).collect() } else { strata.clone() },
            phi: comparison.phi.unwrap_or(1.0),
            design: comparison.design,
            verdict: pair.verdict,
            first_is_better: pair.first_is_better.map(|first| first != is_turned),
            p: comparison.p,
        })
    }
}

/// A trial as the engine takes it. Pots of matched lists are blocks; a table tells no pots, and is taken piece by piece; an
/// arm of a record without lists stood in one pot.
pub(super) fn trial(rows: &[&EvidenceRow]) -> Trial {
    let is_matched = rows.iter().all(|row| row.flags.matched && (row.pending || !row.pots.is_empty()));
    let mut trial = Trial {
        arms: rows.iter().map(|row| arm(row, is_matched)).collect(),
        control: rows.iter().position(|row| row.flags.is_control),
        unit_is_piece: rows.iter().all(|row| row.flags.unit_is_piece && !row.flags.single_replicate),
        is_randomised: true,
    };
    trial.control = trial.control.or_else(|| trial.usual_control());
    trial
}

fn arm(row: &EvidenceRow, is_matched: bool) -> Arm {
    let mut apart = BTreeMap::new();
    if row.flags.start_offset != 0 {
        apart.insert("month put in".to_owned(), row.flags.start_offset.to_string());
    }
    if let Some(mark) = row.flags.unlisted_difference {
        apart.insert(UNLISTED.to_owned(), mark.to_string());
    }
    if !row.phases.is_empty() {
        apart.insert("moves".to_owned(), format!("{:?}", row.phases));
    }
    Arm {
        label: row.arm.clone(),
        facets: row.facets.clone(),
        apart,
        spot: None,
        units: units(row, is_matched),
    }
}

fn units(row: &EvidenceRow, is_matched: bool) -> Vec<Unit> {
    let counted = |succeeded: u32| (!row.pending).then_some(succeeded);
    if row.pots.is_empty() {
        return vec![Unit {
            name: row.arm.clone(),
            started: row.started,
            succeeded: counted(row.succeeded),
            lost: row.lost,
            ..Unit::default()
        }];
    }
    let pots = row.pots.iter().enumerate().filter(|(_, pot)| pot.started > 0);
    pots.map(|(place, pot)| Unit {
        name: format!("{} {}", row.arm, place + 1),
        started: pot.started,
        succeeded: counted(pot.succeeded),
        lost: pot.lost,
        block: is_matched.then(|| place.to_string()),
        ..Unit::default()
    })
    .collect()
}

/// What the trial says of these arms, which differ in `facet` alone. A pair that the trial does not ask about has no verdict
/// of its own.
pub(super) fn seen(
    all: &[&EvidenceRow],
    facet: &str,
    first: &[&EvidenceRow],
    second: &[&EvidenceRow],
) -> Option<Seen> {
    let Judged { pairs, .. } = judge(&trial(all));
    let places = |rows: &[&EvidenceRow]| -> BTreeSet<usize> {
        rows.iter().filter_map(|row| all.iter().position(|other| other.arm == row.arm)).collect()
    };
    let (one, other) = (places(first), places(second));
    let asked = pairs.iter().filter(|pair| pair.factor.as_deref() == Some(facet));
    for pair in asked {
        let side = |arms: &[usize]| arms.iter().copied().collect::<BTreeSet<_>>();
        let (a, b) = (side(&pair.first.arms), side(&pair.second.arms));
        if (&a, &b) == (&one, &other) {
            return Seen::of(pair, false);
        }
        if (&a, &b) == (&other, &one) {
            return Seen::of(pair, true);
        }
    }
    unasked(first, second)
}

/// The same of arms that the trial does not hold against each other.
fn unasked(first: &[&EvidenceRow], second: &[&EvidenceRow]) -> Option<Seen> {
    let mut out: Option<Seen> = None;
    for (one, other) in first.iter().flat_map(|one| second.iter().map(move |other| (*one, *other))) {
        if super::sole_difference(one, other).is_none() {
            continue;
        }
        let Judged { pairs, .. } = judge(&trial(&[one, other]));
        let found = pairs.first().and_then(|pair| Seen::of(pair, false))?;
        match &mut out {
            None => {
                out = Some(Seen { verdict: without_a_winner(found.verdict), first_is_better: None, ..found });
            }
            Some(seen) => {
                seen.strata.extend(found.strata);
                seen.phi = seen.phi.max(found.phi);
                seen.verdict = Verdict::CannotTell;
                seen.p = None;
            }
        }
    }
    out
}

fn without_a_winner(verdict: Verdict) -> Verdict {
    match verdict {
        Verdict::Better | Verdict::DependsOnLost => Verdict::CannotTell,
        other => other,
    }
}
