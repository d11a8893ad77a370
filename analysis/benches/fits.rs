//! Times of the fits that people wait for: `cargo bench -p propagule-analysis`.
#![expect(missing_docs, reason = "the macros make functions of their own")]

use std::hint::black_box;

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use propagule_analysis::facets::{self, Facet, FacetArm, FacetGrower};
use propagule_analysis::network::{self, NetworkOptions, NetworkTrial, TrialArm};
use propagule_analysis::rate::{self, Levels, Options};
use propagule_analysis::{Count, Grower, mixed};

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

fn default_model(c: &mut Criterion) {
    let mut group = c.benchmark_group("default");
    for k in [30, 300, 3_000, 30_000] {
        let growers: Vec<Grower> = counts(k).into_iter().map(|one| Grower::new(vec![one], 1.0)).collect();
        let options = Options { levels: Levels::Two, ..Options::default() };
        group.bench_function(BenchmarkId::from_parameter(k), |b| {
            b.iter(|| rate::fit(black_box(&growers), &options).expect("the counts are possible"));
        });
    }
    group.finish();
}

fn maximum_likelihood(c: &mut Criterion) {
    let mut group = c.benchmark_group("maximum");
    for k in [30, 300, 3_000, 30_000] {
        let counts = counts(k);
        group.bench_function(BenchmarkId::from_parameter(k), |b| {
            b.iter(|| mixed::maximum_likelihood(black_box(&counts)).expect("some succeeded, some failed"));
        });
    }
    group.finish();
}

fn three_levels(c: &mut Criterion) {
    let mut group = c.benchmark_group("three-level");
    group.sample_size(10);
    for k in [30, 300] {
        let growers: Vec<Grower> =
            counts(k).chunks(3).map(|trials| Grower::new(trials.to_vec(), 1.0)).collect();
        let options = Options { levels: Levels::Three, ..Options::default() };
        group.bench_function(BenchmarkId::from_parameter(k), |b| {
            b.iter(|| rate::fit(black_box(&growers), &options).expect("the counts are possible"));
        });
    }
    group.finish();
}

fn network_of_methods(c: &mut Criterion) {
    const METHODS: usize = 8;
    let mut group = c.benchmark_group("network");
    group.sample_size(10);
    let counts = counts(400);
    let trial = |(k, pair): (usize, &[Count])| NetworkTrial {
        arms: vec![
            TrialArm { method: k % METHODS, count: pair[0] },
            TrialArm { method: (k + 1 + k / METHODS % 3) % METHODS, count: pair[1] },
        ],
    };
    let trials: Vec<NetworkTrial> = counts.chunks(2).enumerate().map(trial).collect();
    group.bench_function(BenchmarkId::from_parameter(trials.len()), |b| {
        let options = NetworkOptions::default();
        b.iter(|| network::bayes(METHODS, black_box(&trials), &options).expect("the counts are possible"));
    });
    group.finish();
}

/// Four facets of three levels, trials of three arms, and one combination predicted.
fn facets_of_methods(c: &mut Criterion) {
    let mut group = c.benchmark_group("facets");
    group.sample_size(10);
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
        group.bench_function(BenchmarkId::new("fit", k), |b| {
            let options = facets::Options::default();
            b.iter(|| facets::fit(&facets, black_box(&growers), &options).expect("the arms are possible"));
        });
        let fit = facets::fit(&facets, &growers, &facets::Options::default()).expect("the arms are possible");
        group.bench_function(BenchmarkId::new("predict", k), |b| {
            b.iter(|| fit.predict(black_box(&[0, 1, 2, 0])).expect("the levels exist"));
        });
    }
    group.finish();
}

criterion_group!(
    benches,
    default_model,
    maximum_likelihood,
    three_levels,
    network_of_methods,
    facets_of_methods
);
criterion_main!(benches);
