//! What differs between two arms of a trial, and so what a difference in their counts can be put down to.

use std::collections::BTreeMap;

use super::record::Bench;
use super::season::Season;
use super::trial::{Arm, Trial};

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
    let spot = |arm: &Arm| {
        bench.spot_of(season, arm.number, trial.started_of(arm).middle()).or_else(|| arm.spot.clone())
    };
    let candidates = [
        ("spot", spot(first), spot(second)),
        ("stock plant", Some(stock_words(first)), Some(stock_words(second))),
        ("operator", first.operator.clone(), second.operator.clone()),
        ("day put in", Some(trial.started_of(first).to_string()), Some(trial.started_of(second).to_string())),
        ("something no facet holds", first.unlisted.clone(), second.unlisted.clone()),
    ];
    let stated = |text: Option<String>| text.unwrap_or_else(|| "not given".to_owned());
    let others = candidates
        .into_iter()
        .map(|(what, a, b)| (what, stated(a), stated(b)))
        .filter(|(_, a, b)| a != b)
        .collect();
    Difference { facets, others, is_single: [first, second].iter().any(|arm| arm.replicates.len() < 2) }
}

/// Pieces of each stock plant, in a form that is the same for arms that took them in the same shares.
pub fn stock_shares(arm: &Arm) -> BTreeMap<String, (u32, u32)> {
    let mut pieces: BTreeMap<String, u32> = BTreeMap::new();
    for replicate in &arm.replicates {
        let name = replicate.stock_plant.clone().or_else(|| arm.stock_plant.clone());
        *pieces.entry(name.unwrap_or_default()).or_default() += u32::from(replicate.started);
    }
    if pieces.is_empty() {
        pieces.insert(arm.stock_plant.clone().unwrap_or_default(), 1);
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

fn stock_words(arm: &Arm) -> String {
    let shares = stock_shares(arm);
    let words = |(name, (part, whole)): (&String, &(u32, u32))| {
        let name = if name.is_empty() { "not given" } else { name };
        if part == whole { name.to_owned() } else { format!("{part}/{whole} {name}") }
    };
    shares.iter().map(words).collect::<Vec<_>>().join(" + ")
}
