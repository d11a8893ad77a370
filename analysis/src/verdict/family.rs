//! Which pairs a trial asks about, and Holm's correction over those that can be answered.

use super::design::{Layer, Strata, sort};
use super::factorial;
use super::input::{Arm, SPOT, Trial};
use super::outcome::{Design, Family, FamilyKind, Judged, PairVerdict, Reason, Side, Verdict, Within};
use super::reading::{Read, concluded, read};
use crate::exact;

/// Two sides that may be compared.
#[derive(Clone, Debug)]
pub(super) struct Candidate<'a> {
    pub(super) first: Side,
    pub(super) second: Side,
    /// Names of all that differs.
    pub(super) differs: Vec<String>,
    /// The sides within each level of the other factors; one layer where there are none.
    pub(super) layers: Vec<Layer<'a>>,
}

/// Reaches a verdict on everything that the trial asks about.
///
/// The family is known before any result: pairs of which several things differ together, pairs with one pot in an arm, and
/// pairs with none or all in every stratum stand outside it; pairs that are not counted yet stand in it.
///
/// ```
/// use propagule_analysis::verdict::{Arm, Trial, Unit, Verdict, judge};
///
/// let arm = |label: &str, word: &str, rooted: [u32; 3]| Arm {
///     label: label.into(),
///     facets: [("auxin".to_owned(), word.to_owned())].into(),
///     units: rooted.map(|n| Unit { started: 10, succeeded: Some(n), ..Unit::default() }).into(),
///     ..Arm::default()
/// };
/// let arms = vec![arm("dip", "IBA", [7, 8, 6]), arm("none", "none", [2, 3, 3])];
/// let judged = judge(&Trial { arms, ..Trial::default() });
/// assert_eq!(judged.pairs[0].verdict, Verdict::Better);
/// assert_eq!(judged.pairs[0].first_is_better, Some(true));
/// ```
pub fn judge(trial: &Trial) -> Judged {
    let control = trial.control.filter(|place| *place < trial.arms.len());
    let (kind, candidates) = asked(trial, control);
    let mut pairs: Vec<PairVerdict> = Vec::with_capacity(candidates.len());
    let mut reads = Vec::with_capacity(candidates.len());
    for candidate in candidates {
        let (pair, read) = opened(trial, candidate);
        pairs.push(pair);
        reads.push(read);
    }
    correct(&mut pairs, &mut reads);
    for (pair, read) in pairs.iter_mut().zip(reads) {
        concluded(pair, read);
    }
    let size = pairs.iter().filter(|pair| pair.is_in_family).count();
    Judged { family: Family { kind, size, control }, pairs }
}

/// What is asked, before it is known which of it can be answered.
fn asked(trial: &Trial, control: Option<usize>) -> (FamilyKind, Vec<Candidate<'_>>) {
    if let Some(effects) = factorial::main_effects(trial, control) {
        return (FamilyKind::Factorial, effects);
    }
    let places = 0..trial.arms.len();
    let pair = |first: usize, second: usize| of_arms(trial, first, second);
    let of_two = |kind| if trial.arms.len() == 2 { FamilyKind::Pair } else { kind };
    if let Some(control) = control {
        let others = places.filter(|place| *place != control).map(|place| pair(place, control));
        return (of_two(FamilyKind::Control), others.collect());
    }
    let all = places.clone().flat_map(|a| (a + 1..places.end).map(move |b| (a, b)));
    (of_two(FamilyKind::Pairs), all.map(|(a, b)| pair(a, b)).collect())
}

fn of_arms(trial: &Trial, first: usize, second: usize) -> Candidate<'_> {
    let (one, other) = (&trial.arms[first], &trial.arms[second]);
    let differs = one.differing(other).into_iter().chain(one.apart_from(other));
    let side = |place: usize, arm: &Arm| Side { label: arm.label.clone(), arms: vec![place] };
    Candidate {
        first: side(first, one),
        second: side(second, other),
        differs: differs.map(str::to_owned).collect(),
        layers: vec![Layer { name: String::new(), first: one, second: other }],
    }
}

/// What the layout says, and the readings that it allows.
fn opened(trial: &Trial, candidate: Candidate<'_>) -> (PairVerdict, Option<Read>) {
    let Candidate { first, second, mut differs, layers } = candidate;
    let strata = Strata::of(&layers);
    let only_people = differs.is_empty() && strata.together == ["operator"];
    differs.extend(strata.together.iter().cloned());
    let is_confounded =
        differs.len() > 1 || !strata.together.is_empty() || differs.iter().any(|name| name == SPOT);
    let factor = match &differs[..] {
        [name] => Some(name.clone()),
        _ => None,
    };
    let layout = sort(&layers, &strata, trial.unit_is_piece, |unit| {
        Some(crate::Count { started: unit.started, succeeded: 0 })
    });
    let mut pair = PairVerdict {
        first,
        second,
        factor,
        differs,
        blocks: layout.blocks,
        blocks_left_out: layout.left_out,
        reading: None,
        lost_left_out: None,
        within: Vec::new(),
        is_in_family: false,
        verdict: Verdict::Confounded,
        first_is_better: None,
        reason: if only_people { Reason::PeopleAreNotCompared } else { Reason::Together(Vec::new()) },
    };
    let waiting = not_counted(&layers);
    if !waiting.is_empty() {
        pair.is_in_family = !is_confounded && layout.design != Design::Single;
        (pair.verdict, pair.reason) = (Verdict::Pending, Reason::NotCounted(waiting));
        return (pair, None);
    }
    let read = read(&layers, &strata, trial.unit_is_piece, is_confounded);
    pair.is_in_family = !is_confounded && read.headline.p.is_some();
    if layers.len() > 1 {
        pair.within = within(&layers);
    }
    if let Reason::Together(names) = &mut pair.reason {
        names.clone_from(&pair.differs);
    }
    (pair, Some(read))
}

fn not_counted(layers: &[Layer<'_>]) -> Vec<String> {
    let arms = layers.iter().flat_map(|layer| [layer.first, layer.second]);
    let waiting = arms.flat_map(|arm| arm.units.iter().map(move |unit| (arm, unit)));
    let named = waiting
        .filter(|(_, unit)| unit.succeeded.is_none())
        .map(|(arm, unit)| if unit.name.is_empty() { arm.label.clone() } else { unit.name.clone() });
    named.collect()
}

fn within(layers: &[Layer<'_>]) -> Vec<Within> {
    let of_layer = |layer: &Layer<'_>| {
        let one = std::slice::from_ref(layer);
        let sorted = sort(one, &Strata::of(one), false, super::reading::headline);
        Within { stratum: layer.name.clone(), odds_ratio: exact::stratified_odds_ratio(&sorted.strata, 0.95) }
    };
    layers.iter().map(of_layer).collect()
}

/// Holm's correction in both readings, over all of the family; a pair that is not counted yet, or that cannot be tested
/// without its lost pieces, counts with p 1.
fn correct(pairs: &mut [PairVerdict], reads: &mut [Option<Read>]) {
    let places: Vec<usize> = (0..pairs.len()).filter(|place| pairs[*place].is_in_family).collect();
    let p_values = |of: &dyn Fn(&Read) -> Option<f64>| -> Vec<f64> {
        places.iter().map(|place| reads[*place].as_ref().and_then(of).unwrap_or(1.0)).collect()
    };
    let headline = exact::holm(&p_values(&|read| read.headline.p));
    let without = exact::holm(&p_values(&|read| read.without_lost.as_ref().unwrap_or(&read.headline).p));
    for ((place, with), without) in places.iter().zip(headline).zip(without) {
        if let Some(read) = &mut reads[*place] {
            read.holm = Some(with);
            read.holm_without_lost = Some(without);
        }
    }
}
