//! Times the fits beside which `tests/speed/run` times R and JAGS, on the same made-up tables.
//!
//! `cargo run --release -p propagule-analysis --example speed -- FOLDER [ENGINE [SIZE]]` writes the tables to FOLDER and
//! prints one JSON line a fit: wall and processor seconds and what was found. Engines: default, maximum, three-level, network.
#![expect(clippy::print_stdout, reason = "the figures are printed")]

#[path = "../calibration/random.rs"]
#[expect(dead_code, reason = "the other program draws from more laws")]
mod random;
mod tables;

use std::error::Error;
use std::path::Path;
use std::time::Instant;

use propagule_analysis::network::{self, NetworkOptions};
use propagule_analysis::rate::{self, Levels, Options};
use propagule_analysis::{Count, Grower, mixed};

use tables::SIZES;

type Found = Result<Vec<f64>, Box<dyn Error>>;

fn main() -> Result<(), Box<dyn Error>> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let folder = Path::new(words.first().ok_or("name a folder for the tables")?);
    let size: Option<usize> = words.get(2).map(|word| word.parse()).transpose()?;
    let wanted = |engine: &str, k: usize| {
        words.get(1).is_none_or(|only| only == engine) && size.is_none_or(|size| size == k)
    };
    std::fs::create_dir_all(folder)?;
    let arms = tables::arms();
    tables::write_arms(&arms, &folder.join("arms.csv"))?;
    let trials = tables::network();
    tables::write_network(&trials, &folder.join("network.csv"))?;
    for k in SIZES {
        let counts: Vec<Count> = arms[..k].iter().map(|row| row.count).collect();
        if wanted("default", k) {
            let growers: Vec<Grower> = counts.iter().map(|count| Grower::new(vec![*count], 1.0)).collect();
            time("default", k, || centre_and_spread(&growers, Levels::Two))?;
        }
        if wanted("maximum", k) {
            time("maximum", k, || {
                let fit = mixed::maximum_likelihood(&counts)?;
                Ok(vec![fit.mu, fit.tau])
            })?;
        }
        if k <= 300 && wanted("three-level", k) {
            let growers = tables::nested(&arms[..k]);
            time("three-level", k, || centre_and_spread(&growers, Levels::Three))?;
        }
    }
    if wanted("network", trials.len()) {
        time("network", trials.len(), || {
            let fit = network::bayes(tables::METHODS, &trials, &NetworkOptions::default())?;
            Ok([vec![fit.tau_mean], fit.d_mean].concat())
        })?;
    }
    Ok(())
}

fn centre_and_spread(growers: &[Grower], levels: Levels) -> Found {
    let fit = rate::fit(growers, &Options { levels, ..Options::default() })?;
    Ok(vec![fit.summary().mu_mean, fit.summary().tau_mean])
}

/// Processor seconds of this thread so far, which other load on the machine does not stretch; where the system does not
/// tell, the clock's.
fn processor_seconds(begun: Instant) -> f64 {
    let nanoseconds = std::fs::read_to_string("/proc/thread-self/schedstat")
        .ok()
        .and_then(|text| text.split_whitespace().next().and_then(|word| word.parse::<f64>().ok()));
    nanoseconds.map_or_else(|| begun.elapsed().as_secs_f64(), |ns| ns * 1e-9)
}

/// Median by the clock and mean of processor time (the system counts it in steps of some milliseconds), of at least five
/// runs, or of as many as fit into 0.4 processor seconds.
fn time(engine: &str, k: usize, fit: impl Fn() -> Found) -> Result<(), Box<dyn Error>> {
    let mut wall = Vec::new();
    let mut found = fit()?;
    let start = Instant::now();
    let before = processor_seconds(start);
    while wall.len() < 5 || processor_seconds(start) - before < 0.4 {
        let begun = Instant::now();
        found = fit()?;
        wall.push(begun.elapsed().as_secs_f64());
    }
    let cpu = (processor_seconds(start) - before) / wall.len() as f64;
    let (reps, wall) = (wall.len(), median(wall));
    let found: Vec<String> = found.iter().map(|v| format!("{v:.5}")).collect();
    let found = found.join(",");
    println!(
        r#"{{"engine":"{engine}","k":{k},"reps":{reps},"wall_s":{wall:.6},"cpu_s":{cpu:.6},"result":[{found}]}}"#
    );
    Ok(())
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values[values.len() / 2]
}
