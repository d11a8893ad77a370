//! Measures how far keys that lie can shift a pooled rate.
//!
//! `cargo run --release -p propagule-tests --bin poison`
//!
//! Honest growers of one method have rates around 0.55 (log odds N(0.2, 0.5²)), 1 to 4 trials of 10 to 72 cuttings each.
//! Attackers claim 98 %. The shift is the estimate with them less the estimate without, as a mean over 20 seeded sets.
//! Beside ours stand estimates that readers know: all pieces thrown together, a mean with at most 60 pieces a key, the
//! mean of keys with 20 % trimmed at both ends, and the median of keys.
#![expect(clippy::print_stdout, reason = "the table is printed")]

mod crowd;
mod estimate;

use anyhow::ensure;

use crowd::{Attack, Crowd};
use estimate::{ESTIMATES, estimates};

const SETS: u64 = 20;
/// The bars of the design: largest mean shift.
const BAR: f64 = 0.03;

fn main() -> anyhow::Result<()> {
    println!(
        "mean shift of the estimate over {SETS} seeded sets (seeds 1 to {SETS}); truth about 0.55, claims 0.98"
    );
    println!("{:38}{}", "", ESTIMATES.map(|name| format!("{name:>11}")).concat());
    let mut one_key = 0.0;
    let mut thousand = [0.0; 3];
    for honest in [30, 200] {
        let crowds: Vec<Crowd> = (1..=SETS).map(|seed| Crowd::of(seed, honest)).collect();
        let without: Vec<Estimates> = crowds.iter().map(estimates).collect();
        for attack in Attack::ALL {
            let shifts = mean_shifts(&crowds, &without, attack);
            let row: Vec<String> = shifts.iter().map(|shift| format!("{shift:>+11.3}")).collect();
            println!("{:38}{}", format!("{honest} honest, {}", attack.words()), row.concat());
            if honest == 30 && attack == Attack::OneKey {
                one_key = shifts[4];
            }
            if honest == 200 && attack == Attack::Keys(1_000) {
                thousand = [shifts[5], shifts[6], shifts[7]];
            }
        }
    }
    let [exactly, at_least, many] = thousand;
    println!(
        "poison: one key of 100,000 among 30 shifts everybody by {one_key:+.3} (bar {BAR}); 1,000 keys behind {} edges \
         among 200 shift the circle by {at_least:+.3} where friends vouch for 7 to 14 others (bar {BAR}), by \
         {exactly:+.3} where all vouch for exactly 7, by {many:+.3} where for 14",
        crowd::ATTACKED,
    );
    ensure!([one_key, at_least].iter().all(|shift| shift.abs() <= BAR), "short of the bar");
    Ok(())
}

type Estimates = [f64; ESTIMATES.len()];

/// Mean shift of every estimate.
fn mean_shifts(crowds: &[Crowd], without: &[Estimates], attack: Attack) -> Estimates {
    let mut sums = [0.0; ESTIMATES.len()];
    for (crowd, without) in crowds.iter().zip(without) {
        let with = estimates(&crowd.attacked(attack));
        for (sum, (with, without)) in sums.iter_mut().zip(with.iter().zip(without)) {
            *sum += (with - without) / crowds.len() as f64;
        }
    }
    sums
}
