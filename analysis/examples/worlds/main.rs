//! Whether what is learnt from relatives keeps what it promises, in made-up worlds: some in which species, methods and growers
//! are alike, some in which they are not.
//!
//! `cargo run --release -p propagule-analysis --example worlds -- [CORPORA [WORDS]]`
//!
//! 20 corpora a world unless told otherwise, of the worlds whose name has WORDS; seeds are fixed. Of each corpus 45 species and
//! methods that were tried are looked at, and 20 that never were. Printed are the loss in log score of a trial of 24, how often a new
//! grower's 95 % interval holds, its width, the error of the average rate, and how often "80 % for 5" is attained: with what
//! is learnt, and by the default model; then the width of who knows the true spreads, where the world is drawn from the joint
//! model. Exit code 1 where a bar is missed by more than two Monte Carlo errors.
#![expect(clippy::print_stdout, reason = "the table is printed")]

mod corpus;
#[path = "../calibration/random.rs"]
#[allow(dead_code, reason = "the other program draws from more laws")]
mod random;
mod tally;

use std::collections::BTreeMap;
use std::process::ExitCode;

use corpus::{Corpus, METHODS, World, worlds};
use propagule_analysis::joint::{self, JointOptions, Tails};
use propagule_analysis::{Count, FitError, Grower, rate};
use random::Random;
use tally::{Class, Truth, short};

const TRIED: usize = 45;
const NEVER: usize = 20;
const CLASSES: [&str; 3] = ["never tried", "1 or 2 arms", "3 and more"];

/// Smallest spread that is given as known: none is taken as zero.
const LEAST_SPREAD: f64 = 0.02;

/// By class.
type Tally = [Class; 3];

fn main() -> Result<ExitCode, Box<dyn std::error::Error>> {
    let count: u64 = std::env::args().nth(1).map_or(Ok(20), |word| word.parse())?;
    let words = std::env::args().nth(2).unwrap_or_default();
    let mut missed = Vec::new();
    println!("{:<34}loss cover wide error attained | default model | true spreads", "");
    for world in worlds().into_iter().filter(|world| world.name.contains(&words)) {
        let mut tally = Tally::default();
        let mut laws = [0.0; 3];
        // A tiny world has few species in it.
        let corpora = if world.sizes[0] < 20 { 4 * count } else { count };
        for set in 0..corpora {
            let weights = add(&world, set, &mut tally)?;
            laws.iter_mut().zip(weights).for_each(|(sum, weight)| *sum += weight / corpora as f64);
        }
        for (class, figures) in tally.iter().enumerate().filter(|(_, figures)| figures.all.count() > 0.0) {
            let short = short(&world, class, figures);
            let said =
                if short.is_empty() { String::new() } else { format!("  short: {}", short.join(", ")) };
            println!("{:<22}{:<12}{figures}{said}", world.name, CLASSES[class]);
            missed
                .extend(short.into_iter().map(|what| format!("{}, {}: {what}", world.name, CLASSES[class])));
        }
        println!("{:<22}laws {:.2} {:.2} {:.2}", world.name, laws[0], laws[1], laws[2]);
    }
    if missed.is_empty() {
        println!("worlds: ok");
        return Ok(ExitCode::SUCCESS);
    }
    println!("worlds: {}", missed.join("; "));
    Ok(ExitCode::FAILURE)
}

/// One corpus; the weights of its laws.
fn add(world: &World, set: u64, tally: &mut Tally) -> Result<[f64; 3], FitError> {
    let mut random = Random::new(world.seed, set);
    let corpus = Corpus::draw(world, &mut random);
    let fit = joint::fit(&corpus.table(), &JointOptions::default())?;
    let weights = fit.law_weights()?;
    let spreads = world.spreads().map(|sd| sd.map(|sd| sd.max(LEAST_SPREAD)));
    let knowing = |known_spreads| {
        let options = JointOptions { known_spreads, tails: Tails::Normal, ..JointOptions::default() };
        joint::fit(&corpus.table(), &options)
    };
    let oracle = spreads.map(|sd| knowing(Some(sd))).transpose()?;
    let mut own: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (place, arm) in corpus.arms.iter().enumerate() {
        let [_, Some(species), Some(method)] = arm.levels[..] else { continue };
        own.entry(species * METHODS + method).or_default().push(place);
    }
    let (mut tried, mut never): (Vec<usize>, Vec<usize>) =
        (0..corpus.truth.len()).partition(|cell| own.contains_key(cell));
    shuffle(&mut tried, &mut random);
    shuffle(&mut never, &mut random);
    for cell in tried.into_iter().take(TRIED).chain(never.into_iter().take(NEVER)) {
        let (species, method) = (cell / METHODS, cell % METHODS);
        let places = own.get(&cell).map_or(&[][..], Vec::as_slice);
        let truth = Truth::new(corpus.truth[cell]);
        let expected = fit.expect(&weights, corpus.genus[species], species, method)?;
        let today = rate::fit(&growers(&corpus, places), &rate::Options::default())?;
        let some = places.iter().any(|place| corpus.arms[*place].count.succeeded > 0);
        let class = &mut tally[places.len().min(3).div_ceil(2)];
        class.all.add(&expected.new_grower, expected.average_rate_mean, &truth, some);
        class.today.add(&today.next_trial_law(&[])?, today.summary().average_grower_rate_mean, &truth, some);
        if let Some(oracle) = &oracle {
            let law = oracle.cell(corpus.genus[species], species, method)?;
            class.oracle_width += law.new_grower_rate(0.975) - law.new_grower_rate(0.025);
        }
    }
    Ok(weights.0)
}

/// Own arms as the default model takes them: all of a grower together.
fn growers(corpus: &Corpus, places: &[usize]) -> Vec<Grower> {
    let mut growers: BTreeMap<usize, Vec<Count>> = BTreeMap::new();
    for place in places {
        let arm = &corpus.arms[*place];
        growers.entry(arm.grower).or_default().push(arm.count);
    }
    growers.into_values().map(|trials| Grower::new(trials, 1.0)).collect()
}

fn shuffle(list: &mut [usize], random: &mut Random) {
    for last in (1..list.len()).rev() {
        let other = random.whole(0, last as u32) as usize;
        list.swap(last, other);
    }
}

#[test]
fn a_tiny_world_is_drawn_and_answered() {
    let tiny = worlds().into_iter().find(|world| world.name == "W6 tiny").expect("it is listed");
    let mut tally = Tally::default();
    let weights = add(&tiny, 0, &mut tally).expect("fits");
    assert!(weights.iter().all(|weight| *weight > 0.0));
    let looked_at: f64 = tally.iter().map(|class| class.all.count()).sum();
    assert!(tally.iter().all(|class| class.all.count() == 0.0 || class.oracle_width > 0.0));
    assert!((20.0..=f64::from((TRIED + NEVER) as u32)).contains(&looked_at));
}
