//! Times of the fits that people wait for: `cargo run --release -p propagule-analysis --example fits`.
#![expect(clippy::print_stdout, reason = "the figures are printed")]

use std::hint::black_box;
use std::time::{Duration, Instant};

use propagule_analysis::facets::{self, Facet, FacetArm, FacetGrower};
use propagule_analysis::network::{self, NetworkOptions, NetworkTrial, TrialArm};
use propagule_analysis::rate::{self, Levels, Options};
use propagule_analysis::{Count, Grower, mixed};

/// At least so many runs of each fit, and as many as fit into this time.
const RUNS: (usize, Duration) = (7, Duration::from_secs(1));

/// Prints the median time of a fit, in milliseconds.
fn time<T>(what: &str, size: usize, mut fit: impl FnMut() -> T) {
    let begun = Instant::now();
    let mut times = Vec::new();
    while times.len() < RUNS.0 || begun.elapsed() < RUNS.1 {
        let one = Instant::now();
        black_box(fit());
        times.push(one.elapsed());
    }
    times.sort_unstable();
    println!("{what} {size}: {:.3} ms", times[times.len() / 2].as_secs_f64() * 1e3);
}

/// Invented counts: five to fifty pieces, of which few succeed.
fn counts(k: usize) -> Vec<Count> {
    let mut state = 20_261_125u64;
    let mut draw = |below: u64| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) % below
    };
    let mut count = || {
        let started = 5 + draw(46) as u32;
        let of_four = draw(4) as u32;
        Count { started, succeeded: (started * of_four * draw(2) as u32) / 8 }
    };
    (0..k).map(|_| count()).collect()
}

fn default_model() {
    for k in [30, 300, 3_000, 30_000] {
        let growers: Vec<Grower> = counts(k).into_iter().map(|one| Grower::new(vec![one], 1.0)).collect();
        let options = Options { levels: Levels::Two, ..Options::default() };
        time("default", k, || rate::fit(black_box(&growers), &options).expect("the counts are possible"));
    }
}

fn maximum_likelihood() {
    for k in [30, 300, 3_000, 30_000] {
        let counts = counts(k);
        time("maximum likelihood", k, || {
            mixed::maximum_likelihood(black_box(&counts)).expect("some succeeded, some failed")
        });
    }
}

fn three_levels() {
    for k in [30, 300] {
        let growers: Vec<Grower> =
            counts(k).chunks(3).map(|trials| Grower::new(trials.to_vec(), 1.0)).collect();
        let options = Options { levels: Levels::Three, ..Options::default() };
        time("three levels", k, || {
            rate::fit(black_box(&growers), &options).expect("the counts are possible")
        });
    }
}

fn network_of_methods() {
    const METHODS: usize = 8;
    let counts = counts(400);
    let trial = |(k, pair): (usize, &[Count])| NetworkTrial {
        arms: vec![
            TrialArm { method: k % METHODS, count: pair[0] },
            TrialArm { method: (k + 1 + k / METHODS % 3) % METHODS, count: pair[1] },
        ],
    };
    let trials: Vec<NetworkTrial> = counts.chunks(2).enumerate().map(trial).collect();
    let options = NetworkOptions::default();
    time("network", trials.len(), || {
        network::bayes(METHODS, black_box(&trials), &options).expect("the counts are possible")
    });
}

/// Four facets of three levels, trials of three arms, and one combination predicted.
fn facets_of_methods() {
    let facets = [Facet::new(3); 4];
    for k in [30, 300] {
        let arm = |(i, count): (usize, &Count)| FacetArm {
            levels: [1, 3, 9, 27].map(|step| i / step % 3).to_vec(),
            count: *count,
        };
        let arms: Vec<FacetArm> = counts(k).iter().enumerate().map(arm).collect();
        let trials: Vec<Vec<FacetArm>> = arms.chunks(3).map(<[FacetArm]>::to_vec).collect();
        let growers: Vec<FacetGrower> =
            trials.chunks(2).map(|trials| FacetGrower { trials: trials.to_vec(), weight: 1.0 }).collect();
        let options = facets::Options::default();
        let fit = || facets::fit(&facets, black_box(&growers), &options).expect("the arms are possible");
        time("facets", k, fit);
        let fit = fit();
        time("facets, a prediction", k, || fit.predict(black_box(&[0, 1, 2, 0])).expect("the levels exist"));
    }
}

fn main() {
    default_model();
    maximum_likelihood();
    three_levels();
    network_of_methods();
    facets_of_methods();
}
