//! How far the keys of strangers can move what is said of plants that they never report on. Bars of the design: one key, 1 point
//! where five growers or more tried it and 3 where fewer did; a crowd, no further than the 99 % interval of its own counts.

#[path = "../examples/worlds/corpus.rs"]
#[allow(dead_code, reason = "the program draws from other worlds as well")]
mod corpus;
#[path = "../examples/calibration/random.rs"]
#[allow(dead_code, reason = "the other program draws from more laws")]
mod random;

use corpus::{Corpus, METHODS, worlds};
use propagule_analysis::Count;
use propagule_analysis::joint::{self, Caps, CellExpectation, JointFit, JointOptions, LawWeights};
use propagule_analysis::table::{ArmTable, CountedArm};
use random::Random;

/// Honest growers of a world, and the species that attackers report on.
const GROWERS: usize = 80;
const GENERA: usize = 20;
const SPECIES: usize = 60;
const ATTACKED: std::ops::Range<usize> = 40..SPECIES;
/// Pieces that count of one grower.
const CAP: f64 = 60.0;

fn honest() -> Corpus {
    let strong = worlds().into_iter().next().expect("the first is the one with structure");
    Corpus::draw(&strong, &mut Random::new(strong.seed, 0))
}

/// Arms of keys that claim that nearly everything roots.
fn claims(corpus: &Corpus, keys: usize, trials: usize, started: u32) -> Vec<CountedArm> {
    let claim = |number: usize| {
        let species = ATTACKED.start + number % ATTACKED.len();
        let levels = vec![Some(corpus.genus[species]), Some(species), Some(number % METHODS)];
        let count = Count { started, succeeded: started - 1 };
        CountedArm { grower: GROWERS + number / trials, trial: 1_000 + number, levels, count, replicates: 1 }
    };
    (0..keys * trials).map(claim).collect()
}

fn fitted(arms: Vec<CountedArm>, keys: usize) -> (JointFit, LawWeights) {
    let weights = vec![1.0; GROWERS + keys];
    let table = ArmTable::new(vec![GENERA, SPECIES, METHODS], weights, arms).expect("within its levels");
    let caps = Caps { of_corpus: Some(CAP), of_cell: Some(CAP) };
    let fit = joint::fit(&table, &JointOptions { caps, ..JointOptions::default() }).expect("converges");
    let weights = fit.law_weights().expect("settles");
    (fit, weights)
}

/// What is said of the methods of species that no attacker reports on.
fn said(corpus: &Corpus, fitted: &(JointFit, LawWeights)) -> Vec<CellExpectation> {
    let cells = (0..ATTACKED.start / 4).flat_map(|species| (0..METHODS).map(move |method| (species, method)));
    let expected = |(species, method): (usize, usize)| {
        fitted.0.expect(&fitted.1, corpus.genus[species], species, method).expect("converges")
    };
    cells.map(expected).filter(|cell| cell.own_growers > 0).collect()
}

#[test]
fn one_key_hardly_moves_other_plants_whatever_it_claims() {
    let corpus = honest();
    let before = said(&corpus, &fitted(corpus.arms.clone(), 0));
    // As many trials as count of one grower, each of a thousand pieces.
    let attacked = [corpus.arms.clone(), claims(&corpus, 1, 20, 1_000)].concat();
    let after = said(&corpus, &fitted(attacked, 1));
    let shifts = before
        .iter()
        .zip(&after)
        .map(|(a, b)| (a.own_growers, (a.average_rate_mean - b.average_rate_mean).abs()));
    let shifts: Vec<(usize, f64)> = shifts.collect();
    let worst = |of: &dyn Fn(usize) -> bool| {
        shifts.iter().filter(|(growers, _)| of(*growers)).map(|(_, shift)| *shift).fold(0.0, f64::max)
    };
    let (many, few) = (worst(&|growers| growers >= 5), worst(&|growers| growers < 5));
    assert!(many > 0.0 && many <= 0.01 && few <= 0.03, "{many} {few}");
}

#[test]
fn a_crowd_moves_no_plant_with_three_growers_beyond_its_own_counts() {
    let corpus = honest();
    let before = said(&corpus, &fitted(corpus.arms.clone(), 0));
    let attacked = [corpus.arms.clone(), claims(&corpus, 250, 1, 24)].concat();
    let after = said(&corpus, &fitted(attacked, 250));
    let own: Vec<&CellExpectation> = after.iter().filter(|cell| cell.own_growers >= 3).collect();
    // The crowd is as many as the honest trials, so it does move them.
    let moved = before.iter().zip(&after).map(|(a, b)| b.average_rate_mean - a.average_rate_mean);
    assert!(own.len() > 10 && moved.fold(0.0, f64::max) > 0.03, "{}", own.len());
    for cell in own {
        let led = if cell.is_in_conflict { &cell.without } else { &cell.summary };
        let [low, _, high] = cell.without.average_grower_rate_q;
        // 99 % reach further than 95: a third as far again on either side of a normal law.
        let room = 0.35 * (high - low);
        let led = led.average_grower_rate_mean;
        assert!((low - room..=high + room).contains(&led), "{led} {low} {high}");
    }
}
