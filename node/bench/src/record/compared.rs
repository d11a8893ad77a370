//! What differs between two arms of a trial, and so what a difference in their counts can be put down to.

use std::collections::BTreeMap;

use propagule_protocol::vocab::HomeDetail;

use super::Bench;
use crate::season::Season;
use crate::trial::{Arm, Replicate, Trial};

/// Everything that differs between two arms, in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Difference {
    /// Facets, by name: words of the first and of the second.
    pub facets: Vec<(String, String, String)>,
    /// Spot, stock plant, operator, day, or something that no facet holds: what, and the words of both.
    pub others: Vec<(&'static str, String, String)>,
    /// Whether an arm has a single replicate, or none.
    pub is_single: bool,
}

impl Difference {
    /// The one factor that differs, when there is but one.
    pub fn sole(&self) -> Option<&str> {
        match (self.facets.as_slice(), self.others.as_slice()) {
            ([(name, ..)], []) => Some(name),
            ([], [(what, ..)]) => Some(what),
            _ => None,
        }
    }

    /// Names of all that differs.
    pub fn names(&self) -> Vec<String> {
        let facets = self.facets.iter().map(|(name, ..)| name.replace('_', " "));
        facets.chain(self.others.iter().map(|(what, ..)| (*what).to_owned())).collect()
    }

    /// Whether stock plant, operator or spot differ, so that no verdict may be given.
    pub fn has_confound(&self) -> bool {
        self.others.iter().any(|(what, ..)| matches!(*what, "stock plant" | "operator" | "spot"))
    }
}

/// Compares arms as they stand.
pub fn difference(
    bench: &Bench,
    season: &Season<'_>,
    trial: &Trial,
    first: &Arm,
    second: &Arm,
) -> Difference {
    let names: std::collections::BTreeSet<&String> =
        first.facets.keys().chain(second.facets.keys()).collect();
    let words =
        |arm: &Arm, name: &String| arm.facets.get(name).cloned().unwrap_or_else(|| "not given".to_owned());
    let facets = names
        .into_iter()
        .map(|name| (name.clone(), words(first, name), words(second, name)))
        .filter(|(_, a, b)| !a.eq_ignore_ascii_case(b))
        .collect();
    let of = |arm: &Arm| others_among(bench, season, trial, arm, [first, second]);
    let (of_first, of_second) = (of(first), of(second));
    let stated = |words: Option<&String>| words.cloned().unwrap_or_else(|| "not given".to_owned());
    let others = OTHERS
        .into_iter()
        .chain(AT_HOME.map(|(_, what)| what))
        .map(|what| (what, stated(of_first.get(what)), stated(of_second.get(what))))
        .filter(|(_, a, b)| a != b)
        .collect();
    Difference { facets, others, is_single: [first, second].iter().any(|arm| arm.replicates.len() < 2) }
}

/// Name under which a mark for what no facet holds stands beside the facets.
pub const UNLISTED: &str = "something no facet holds";
/// What arms can differ in beside their facets.
const OTHERS: [&str; 5] = ["spot", "stock plant", "operator", "day put in", UNLISTED];

/// What was said of a method that no facet holds.
pub(crate) const AT_HOME: [(HomeDetail, &str); 6] = [
    (HomeDetail::Size, "size of the container"),
    (HomeDetail::Cells, "cells of the tray"),
    (HomeDetail::Leaves, "leaves kept"),
    (HomeDetail::Seconds, "seconds in the hormone"),
    (HomeDetail::Minutes, "minutes in the hormone"),
    (HomeDetail::Hours, "hours in the hormone"),
];

/// What the pieces of an arm have beside facets, each in words.
pub(crate) fn others(
    bench: &Bench,
    season: &Season<'_>,
    trial: &Trial,
    arm: &Arm,
) -> BTreeMap<&'static str, String> {
    others_among(bench, season, trial, arm, &trial.arms)
}

/// The same beside some arms, of which it may be one.
fn others_among<'a>(
    bench: &Bench,
    season: &Season<'_>,
    trial: &Trial,
    arm: &Arm,
    among: impl IntoIterator<Item = &'a Arm>,
) -> BTreeMap<&'static str, String> {
    let among: Vec<&Arm> = among.into_iter().collect();
    let started = trial.started_of(arm);
    let spot = bench.spot_of(season, arm.number, started.middle()).or_else(|| arm.spot.clone());
    let operator = |replicate: &Replicate| replicate.operator.clone().or_else(|| arm.operator.clone());
    let words = [
        spot,
        Some(shares_words(&stock_shares(arm))),
        Some(shares_words(&shares(arm, &operator, arm.operator.clone()))).filter(|words| words != NOT_GIVEN),
        Some(started.to_string()),
        arm.unlisted.clone(),
    ];
    let at_home = AT_HOME
        .into_iter()
        .filter_map(|(detail, what)| Some((what, said_at_home(arm, &among, detail)?.clone())));
    OTHERS.into_iter().zip(words).filter_map(|(what, words)| Some((what, words?))).chain(at_home).collect()
}

/// What was said of an arm at home. What an arm cannot have sets it apart from none: a control without a hormone differs from
/// a dip of 5 s in the hormone alone, so it has what the others say.
fn said_at_home<'a>(arm: &'a Arm, among: &[&'a Arm], detail: HomeDetail) -> Option<&'a String> {
    if can_have(arm, detail) {
        return arm.at_home.get(&detail);
    }
    among.iter().filter(|other| can_have(other, detail)).find_map(|other| other.at_home.get(&detail))
}

/// Whether an arm can have a detail; where nothing is said of what it is of, it can.
fn can_have(arm: &Arm, detail: HomeDetail) -> bool {
    arm.facets.get(detail.facet().name()).is_none_or(|words| detail.fits(words))
}

const NOT_GIVEN: &str = "not given";

/// Pieces of each stock plant, in a form that is the same for arms that took them in the same shares.
pub fn stock_shares(arm: &Arm) -> Shares {
    shares(
        arm,
        &|replicate| replicate.stock_plant.clone().or_else(|| arm.stock_plant.clone()),
        arm.stock_plant.clone(),
    )
}

/// Name → part and whole, in lowest terms.
pub type Shares = BTreeMap<String, (u32, u32)>;

/// Pieces of each name, in a form that is the same for arms that have them in the same shares.
fn shares(arm: &Arm, of: &dyn Fn(&Replicate) -> Option<String>, whole: Option<String>) -> Shares {
    let mut pieces: BTreeMap<String, u32> = BTreeMap::new();
    for replicate in &arm.replicates {
        *pieces.entry(of(replicate).unwrap_or_default()).or_default() += u32::from(replicate.started);
    }
    if pieces.is_empty() {
        pieces.insert(whole.unwrap_or_default(), 1);
    }
    let total: u32 = pieces.values().sum();
    let lowest = |n: u32| {
        let divisor = greatest_common_divisor(n, total).max(1);
        (n / divisor, total / divisor)
    };
    pieces.into_iter().map(|(name, n)| (name, lowest(n))).collect()
}

fn greatest_common_divisor(a: u32, b: u32) -> u32 {
    if b == 0 { a } else { greatest_common_divisor(b, a % b) }
}

fn shares_words(shares: &Shares) -> String {
    let words = |(name, (part, whole)): (&String, &(u32, u32))| {
        let name = if name.is_empty() { NOT_GIVEN } else { name };
        if part == whole { name.to_owned() } else { format!("{part}/{whole} {name}") }
    };
    shares.iter().map(words).collect::<Vec<_>>().join(" + ")
}
