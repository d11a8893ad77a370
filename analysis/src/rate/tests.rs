//! The default lattices against much finer ones.

use super::*;
use crate::Count;

fn growers(counts: &[(u32, u32)]) -> Vec<Grower> {
    counts.iter().map(|&(n, r)| Grower::new(vec![Count { started: n, succeeded: r }], 1.0)).collect()
}

/// Invented tables: none, one, all zero, all, sparse, mixed, precise, weighted.
fn tables() -> Vec<(&'static str, Vec<Grower>)> {
    let sparse = [(10, 0), (12, 0), (20, 1), (8, 0), (15, 0), (30, 3), (6, 0), (24, 0)];
    let mut weighted = growers(&[(20, 2), (15, 1), (30, 9), (12, 0), (40, 22)]);
    for (k, grower) in weighted.iter_mut().enumerate() {
        grower.weight = 0.9 / (k as f64 + 1.0);
    }
    vec![
        ("none", Vec::new()),
        ("one", growers(&[(20, 3)])),
        ("one zero", growers(&[(20, 0)])),
        ("all zero", growers(&[(12, 0), (8, 0), (10, 0), (16, 0), (14, 0)])),
        ("all", growers(&[(12, 12), (10, 10), (20, 20)])),
        ("sparse", growers(&sparse)),
        ("mixed", growers(&[(12, 0), (12, 12), (20, 5), (15, 0), (30, 29), (10, 4)])),
        ("precise", growers(&[(9_000, 4_000), (8_000, 3_300), (10_000, 4_700)])),
        ("alike", growers(&[(40, 10); 40])),
        ("weighted", weighted),
    ]
}

fn figures(fit: &RateFit) -> Vec<f64> {
    let s = fit.summary();
    let mut out =
        vec![s.mu_mean, s.mu_sd, s.tau_mean, s.typical_grower_rate_mean, s.average_grower_rate_mean];
    out.extend([
        s.new_grower_rate_sd,
        s.prob_new_grower_above_10pct,
        s.prob_new_grower_above_50pct,
        s.log_evidence,
    ]);
    for q in [s.mu_q, s.tau_q, s.average_grower_rate_q, s.new_grower_rate_q] {
        out.extend(q);
    }
    out.extend(fit.predictive(12));
    out
}

fn worst_difference(growers: &[Grower], options: &Options, fine: f64) -> (usize, f64) {
    let usual = figures(&fit(growers, options).expect("the table is valid"));
    let fineness = Fineness { centre: fine, spread: fine, stretched: 0.1 };
    let finer = figures(&fit_with(growers, options, Some(fineness)).expect("the table is valid"));
    let differences = usual.iter().zip(&finer).map(|(a, b)| (a - b).abs() / (1e-2 + b.abs()));
    differences.enumerate().fold((0, 0.0), |worst, (k, d)| if d > worst.1 { (k, d) } else { worst })
}

#[test]
fn the_usual_lattices_are_fine_enough() {
    for prior in [0.5, 1.0, 2.0] {
        for (name, table) in tables() {
            let options = Options { grower_sd: prior, ..Options::default() };
            let (which, worst) = worst_difference(&table, &options, 0.12);
            assert!(worst < 3e-4, "{prior} {name}: figure {which} differs by {worst}");
        }
    }
}

#[test]
fn precise_trials_that_disagree_are_answered() {
    // Under a narrow trial spread the marginal of 0 of 308 far out has a steep and a flat side, between which plain
    // Newton steps leap to and fro.
    let trials: [&[(u32, u32)]; 7] = [
        &[(1_555, 105), (1_909, 654)],
        &[(1_428, 237), (1_107, 618)],
        &[(1_824, 1_588), (175, 76)],
        &[(145, 49), (108, 16)],
        &[(122, 113), (1_259, 165), (308, 0)],
        &[(1_572, 91), (538, 179)],
        &[(973, 301), (1_657, 293), (38, 32)],
    ];
    let grower = |trials: &[(u32, u32)]| {
        let count = |&(started, succeeded): &(u32, u32)| Count { started, succeeded };
        Grower::new(trials.iter().map(count).collect(), 0.4)
    };
    let growers: Vec<Grower> = trials.into_iter().map(grower).collect();
    let fit = fit(&growers, &Options { levels: Levels::Three, ..Options::default() }).expect("a valid table");
    assert!(figures(&fit).iter().all(|value| value.is_finite()));
}

#[test]
fn a_quantile_that_is_not_defined_comes_back_from_json_as_none_that_is() {
    let fitted = fit(&growers(&[(20, 3)]), &Options::default()).expect("the table is valid");
    let mut summary = fitted.summary().clone();
    summary.tau_q[2] = f64::INFINITY;
    let text = serde_json::to_string(&summary).expect("plain data");
    assert!(text.contains(",null]"), "{text}");
    let come: RateSummary = serde_json::from_str(&text).expect("reads");
    assert!(come.tau_q[2].is_nan());
    assert!(come.mu_q.iter().zip(summary.mu_q).all(|(a, b)| a.to_bits() == b.to_bits()));
}
