//! Arms that cross two or more factors: one main effect a factor.

use std::collections::{BTreeMap, BTreeSet};

use super::design::Layer;
use super::family::Candidate;
use super::input::{Arm, Trial, is_nothing_done};
use super::outcome::Side;

/// Main effects of a full crossing of two or more facets; `None` where the arms are not one.
pub(super) fn main_effects(trial: &Trial, control: Option<usize>) -> Option<Vec<Candidate<'_>>> {
    let names: BTreeSet<&str> = trial.arms.iter().flat_map(|arm| trial.arms[0].differing(arm)).collect();
    if names.len() < 2
        || !names.iter().all(|name| trial.arms.iter().all(|arm| arm.facets.contains_key(*name)))
    {
        return None;
    }
    let factors: Vec<Factor<'_>> = names.iter().map(|name| Factor::of(trial, name)).collect();
    let cells: BTreeSet<Vec<usize>> = (0..trial.arms.len()).map(|arm| levels_of(&factors, arm)).collect();
    let full: usize = factors.iter().map(|factor| factor.levels.len()).product();
    if cells.len() != trial.arms.len() || cells.len() != full {
        return None;
    }
    Some(
        (0..factors.len())
            .flat_map(|place| {
                let pairs = factors[place].pairs(control);
                pairs.into_iter().map(|pair| effect(trial, &factors, place, pair)).collect::<Vec<_>>()
            })
            .collect(),
    )
}

/// A facet that varies, its levels in the order in which arms show them.
struct Factor<'a> {
    name: &'a str,
    levels: Vec<&'a str>,
    /// Level of each arm.
    of_arm: Vec<usize>,
}

fn levels_of(factors: &[Factor<'_>], arm: usize) -> Vec<usize> {
    factors.iter().map(|factor| factor.of_arm[arm]).collect()
}

impl<'a> Factor<'a> {
    fn of(trial: &'a Trial, name: &'a str) -> Self {
        let word = |arm: &'a Arm| arm.facets.get(name).map_or("", String::as_str);
        let mut levels: Vec<&str> = Vec::new();
        let of_arm = trial.arms.iter().map(|arm| {
            let word = word(arm);
            levels.iter().position(|level| level.eq_ignore_ascii_case(word)).unwrap_or_else(|| {
                levels.push(word);
                levels.len() - 1
            })
        });
        let of_arm = of_arm.collect();
        Self { name, levels, of_arm }
    }

    /// Every other level against the control's, or against the one where nothing was done; all pairs without either.
    fn pairs(&self, control: Option<usize>) -> Vec<(usize, usize)> {
        let nothing_done = || self.levels.iter().position(|level| is_nothing_done(level));
        let all = 0..self.levels.len();
        match control.map(|arm| self.of_arm[arm]).or_else(nothing_done) {
            Some(reference) => {
                all.filter(|level| *level != reference).map(|level| (level, reference)).collect()
            }
            None => all.clone().flat_map(|a| (a + 1..all.end).map(move |b| (a, b))).collect(),
        }
    }
}

fn effect<'a>(
    trial: &'a Trial,
    factors: &[Factor<'a>],
    place: usize,
    (first, second): (usize, usize),
) -> Candidate<'a> {
    let factor = &factors[place];
    let mut sides: BTreeMap<Vec<usize>, [Option<usize>; 2]> = BTreeMap::new();
    for arm in 0..trial.arms.len() {
        let mut others = levels_of(factors, arm);
        let level = others.remove(place);
        for (side, wanted) in [first, second].into_iter().enumerate() {
            if level == wanted {
                sides.entry(others.clone()).or_default()[side] = Some(arm);
            }
        }
    }
    let mut differs = vec![factor.name.to_owned()];
    let mut layers = Vec::new();
    let (mut first_arms, mut second_arms) = (Vec::new(), Vec::new());
    for (others, pair) in sides {
        let [Some(a), Some(b)] = pair else { continue };
        let (one, other) = (&trial.arms[a], &trial.arms[b]);
        let apart =
            one.apart_from(other).into_iter().filter(|name| !differs.iter().any(|known| known == name));
        differs.extend(apart.map(str::to_owned).collect::<Vec<_>>());
        layers.push(Layer { name: named(factors, place, &others), first: one, second: other });
        first_arms.push(a);
        second_arms.push(b);
    }
    let side = |level: usize, arms| Side { label: factor.levels[level].to_owned(), arms };
    Candidate { first: side(first, first_arms), second: side(second, second_arms), differs, layers }
}

/// The levels of all other factors.
fn named(factors: &[Factor<'_>], place: usize, others: &[usize]) -> String {
    let rest = factors.iter().enumerate().filter(|(k, _)| *k != place);
    let words: Vec<&str> = rest.zip(others).map(|((_, factor), level)| factor.levels[*level]).collect();
    words.join(", ")
}
