//! How near another place is: published regions by the middles of their bins, sites by temperature and rain.

use propagule_analysis::compare::{Band, Closeness, KernelScales, closeness, site_weight};
use propagule_protocol::place::Midpoints;

use propagule_evidence::{EvidenceRow, Site};

/// °C of the coldest and of the hottest month that count as one step apart.
pub const MONTH_SCALE: f64 = 3.0;
/// Step of the natural logarithm of the yearly rain: a factor of 1.42.
pub const LN_RAIN_SCALE: f64 = 0.35;
/// °C of the mean yearly minimum, by the middle of the hardiness zone, that count as one step: a half-zone.
pub const ZONE_SCALE: f64 = 2.8;
/// Under a roof of mist, film or glass, or over a heat mat, climate only tilts: distances count for this much,
/// so that a grower one step away weighs 0.88 there and 0.61 outdoors.
pub const TILT: f64 = 0.5;

/// How near one trial's place is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Nearness {
    pub(super) distance: f64,
    pub(super) weight: f64,
    pub(super) band: Band,
    pub(super) dims: usize,
}

/// Differences in steps over the dimensions that both regions have.
fn differences(own: &Midpoints, other: &Midpoints) -> Vec<f64> {
    let step = |a: Option<f64>, b: Option<f64>, scale: f64| Some((a? - b?) / scale);
    [
        step(own.coldest, other.coldest, MONTH_SCALE),
        step(own.hottest, other.hottest, MONTH_SCALE),
        step(own.ln_rain, other.ln_rain, LN_RAIN_SCALE),
        step(own.zone, other.zone, ZONE_SCALE),
    ]
    .into_iter()
    .flatten()
    .collect()
}

fn between_regions(own: &Midpoints, other: &Midpoints, tilt_only: bool) -> Option<Nearness> {
    let steps = differences(own, other);
    if steps.is_empty() {
        return None;
    }
    let near = closeness(&steps);
    let weight = if tilt_only {
        let tilted: Vec<f64> = steps.iter().map(|step| step * TILT).collect();
        closeness(&tilted).weight
    } else {
        near.weight
    };
    Some(nearness(&near, weight, steps.len()))
}

fn nearness(near: &Closeness, weight: f64, dims: usize) -> Nearness {
    Nearness { distance: near.distance, weight, band: near.band, dims }
}

/// How near `other` is to `own`; `None` where the two share no climate dimension.
pub(super) fn between(own: &EvidenceRow, other: &EvidenceRow, tilt_only: bool) -> Option<Nearness> {
    match (own.site, other.site, &own.region, &other.region) {
        (Some(own), Some(other), _, _) => Some(between_sites(own, other)),
        (_, _, Some(own), Some(other)) => between_regions(own, other, tilt_only),
        _ => None,
    }
}

fn between_sites(own: Site, other: Site) -> Nearness {
    let scales = KernelScales::default();
    let steps =
        [(own.temp - other.temp) / scales.temperature, (own.rain / other.rain).ln() / scales.log_rain];
    let weight = site_weight(own.temp, own.rain, other.temp, other.rain, scales);
    nearness(&closeness(&steps), weight, steps.len())
}
