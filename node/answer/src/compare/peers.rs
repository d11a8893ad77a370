//! The other growers with a method: which of them match the environment, and how near they are.

use std::collections::BTreeMap;

use super::climate::{self, Nearness};
use propagule_evidence::{EvidenceRow, HUMIDITY_GROUPS, Lost, clusters, humidity_group};

/// Degrees of bottom heat that count as the same.
const SAME_HEAT: f64 = 3.0;

/// What peers must have in common with an own arm beside its method.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Environment {
    humidity: Option<String>,
    heat: Option<f64>,
}

impl Environment {
    /// The environment that decides for `row`: humidity under mist, fog or a cover, and bottom heat.
    pub(super) fn of(row: &EvidenceRow) -> Self {
        let [wet, covered, _] = HUMIDITY_GROUPS;
        let held = |word: &&String| [wet, covered].contains(&humidity_group(word));
        Self {
            humidity: row.facets.get("humidity").filter(held).cloned(),
            heat: row.facets.get("bottom_heat").and_then(|word| degrees(word)).filter(|heat| *heat > 0.0),
        }
    }

    /// No environment to have in common.
    pub(super) const fn none() -> Self {
        Self { humidity: None, heat: None }
    }

    /// Whether the environment decides before the climate.
    pub(super) fn decides(&self) -> bool {
        self.humidity.is_some() || self.heat.is_some()
    }

    /// Whether `peer` has the same; unknown is not the same.
    fn is_had_by(&self, peer: &EvidenceRow) -> bool {
        let humidity = self.humidity.is_none() || self.humidity.as_ref() == peer.facets.get("humidity");
        let heat = self.heat.is_none_or(|own| {
            let theirs = peer.facets.get("bottom_heat").and_then(|word| degrees(word));
            theirs.is_some_and(|theirs| (theirs - own).abs() <= SAME_HEAT)
        });
        humidity && heat
    }

    /// What peers had to have in common, in order.
    pub(super) fn matched_on(&self, by_climate: bool) -> Vec<String> {
        let names = [
            Some("method"),
            self.humidity.as_ref().map(|_| "humidity"),
            self.heat.map(|_| "bottom_heat"),
            by_climate.then_some("climate"),
        ];
        names.into_iter().flatten().map(str::to_owned).collect()
    }
}

/// The number at the start of "22 °C".
fn degrees(word: &str) -> Option<f64> {
    word.split_whitespace().next()?.parse().ok()
}

/// One other grower with all arms of the method.
#[derive(Clone, Debug)]
pub(super) struct PeerGrower<'a> {
    pub(super) label: String,
    pub(super) rows: Vec<&'a EvidenceRow>,
    /// Over the trials that can be compared: mean distance and weight, the most dimensions.
    pub(super) near: Option<Nearness>,
}

/// Other growers whose arms have `environment`, nearest first.
pub(super) fn peer_growers<'a>(
    own: &EvidenceRow,
    others: &[&'a EvidenceRow],
    environment: &Environment,
) -> Vec<PeerGrower<'a>> {
    let mut growers: BTreeMap<&str, Vec<&EvidenceRow>> = BTreeMap::new();
    for row in others.iter().filter(|row| environment.is_had_by(row)) {
        growers.entry(&row.grower).or_default().push(row);
    }
    let mut peers: Vec<PeerGrower> = growers
        .into_iter()
        .map(|(label, rows)| PeerGrower {
            label: label.to_owned(),
            near: mean_nearness(own, &rows, environment.decides()),
            rows,
        })
        .collect();
    let distance = |peer: &PeerGrower| peer.near.map_or(f64::INFINITY, |near| near.distance);
    peers.sort_by(|a, b| distance(a).total_cmp(&distance(b)).then_with(|| a.label.cmp(&b.label)));
    peers
}

/// A grower with trials in several places is as near as they are on average.
fn mean_nearness(own: &EvidenceRow, rows: &[&EvidenceRow], tilt_only: bool) -> Option<Nearness> {
    let mut trials: BTreeMap<&str, Nearness> = BTreeMap::new();
    for row in rows {
        if let Some(near) = climate::between(own, row, tilt_only) {
            trials.insert(&row.trial, near);
        }
    }
    let nearest = trials.values().min_by(|a, b| a.distance.total_cmp(&b.distance)).copied()?;
    let count = trials.len() as f64;
    Some(Nearness {
        distance: trials.values().map(|near| near.distance).sum::<f64>() / count,
        weight: trials.values().map(|near| near.weight).sum::<f64>() / count,
        dims: trials.values().map(|near| near.dims).max().unwrap_or(0),
        band: nearest.band,
    })
}

/// The growers as clusters of the model, each with `weight` beside its own.
pub(super) fn weighted(
    peers: &[PeerGrower<'_>],
    capped: bool,
    weight: impl Fn(&PeerGrower<'_>) -> f64,
) -> Vec<propagule_analysis::Grower> {
    let cluster = |peer: &PeerGrower<'_>| {
        let mut cluster = clusters(&peer.rows, Lost::AsFailures, capped).pop()?;
        cluster.grower.weight *= weight(peer);
        Some(cluster.grower)
    };
    peers.iter().filter_map(cluster).collect()
}
