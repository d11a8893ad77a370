//! One arm: what 3 of 15 says of a rate by seven kinds of limits, and how many pieces a plan takes.
//!
//! `cargo run -p propagule-analysis --example one_arm`
#![expect(clippy::print_stdout, reason = "the table is printed")]

use propagule_analysis::planning::{
    beta_binomial_at_least, binomial_at_least, logit_normal_at_least, pieces_to_see_one, smallest_number,
};
use propagule_analysis::{Count, interval};

type Limits = fn(Count, f64) -> (f64, f64);

const KINDS: [(&str, Limits); 7] = [
    ("Wilson", interval::wilson),
    ("Clopper and Pearson", interval::clopper_pearson),
    ("mid-P", interval::mid_p),
    ("Jeffreys", interval::jeffreys),
    ("Jeffreys, ends not moved", interval::jeffreys_plain),
    ("uniform prior", interval::uniform_bayes),
    ("Agresti and Coull", interval::agresti_coull),
];

fn main() {
    for succeeded in [0, 3] {
        let count = Count { started: 15, succeeded };
        println!("{succeeded} of 15, 95 % limits in per cent:");
        for (kind, limits) in KINDS {
            let (low, high) = limits(count, 0.95);
            println!("  {kind:<25}{:>6.1}{:>6.1}", 100.0 * low, 100.0 * high);
        }
        println!("  {:<25}{:>12.1}", "one-sided", 100.0 * interval::one_sided_upper(count, 0.95));
    }
    println!("Pieces for one success at a rate of 5 %, 19 times in 20: {:?}", pieces_to_see_one(0.05, 0.95));
    println!("Pieces for five successes, 8 times in 10:");
    let number = |law: &dyn Fn(u32) -> f64| smallest_number(5, 0.8, law);
    println!("  at a rate of 20 %            {:?}", number(&|n| binomial_at_least(5, n, 0.2)));
    println!("  a rate ~ Beta(4, 16)         {:?}", number(&|n| beta_binomial_at_least(5, n, 4.0, 16.0)));
    println!("  log odds ~ N(-1.4, 0.6²)     {:?}", number(&|n| logit_normal_at_least(5, n, -1.4, 0.6)));
}

#[test]
fn it_runs() {
    main();
    // A rate that is not known takes more pieces than the same rate known.
    let known = smallest_number(5, 0.8, |n| binomial_at_least(5, n, 0.2));
    let unknown = smallest_number(5, 0.8, |n| beta_binomial_at_least(5, n, 4.0, 16.0));
    assert!(known.is_some() && known < unknown);
}
