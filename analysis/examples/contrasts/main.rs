//! How often shrunk contrasts name a better one where all are equal, how often what they name is right, and how often their
//! intervals hold the truth, on made-up tables.
//!
//! `cargo run --release -p propagule-analysis --example contrasts -- [TABLES [WORDS]]`
//!
//! 400 tables a row unless told otherwise, rows whose name has WORDS or all; the seed of each row is fixed. Exit code 1 where a row is short of a bar by more than
//! two Monte Carlo errors: all equal, a table with any claim in at most 5 %; else 90 % of claims right (95 % over all rows);
//! levels that no stratum joins get no verdict. Where spreads are drawn from the priors 95 % intervals hold 93 to 97 % of
//! differences. Where the spread of levels is set they hold 86 %: the half-Cauchy(0.25) prior expects less of levels than 0.4
//! or 0.8, and with exact normal estimates (standard errors 0.2 to 0.45, 2 to 6 levels) holds 88 to 95 %.
#![expect(clippy::print_stdout, reason = "the table is printed")]

#[path = "../calibration/random.rs"]
#[allow(dead_code, reason = "the other program draws from more laws")]
mod random;
mod tables;
mod tally;

use std::process::ExitCode;

use tables::rows;
use tally::{Tally, parted};

fn main() -> Result<ExitCode, Box<dyn std::error::Error>> {
    let count: u64 = std::env::args().nth(1).map_or(Ok(400), |word| word.parse())?;
    let words = std::env::args().nth(2).unwrap_or_default();
    let (mut all, mut missed) = (Tally::default(), Vec::new());
    println!("{:<42}{:>9}{:>9}{:>9}{:>9}", "row", "claims", "right", "covered", "likely");
    for row in rows().into_iter().filter(|row| row.name().contains(&words)) {
        let tally = Tally::of(&row, count)?;
        let short = tally.shortfalls(&row);
        println!(
            "{:<42}{tally}{}",
            row.name(),
            if short.is_empty() { String::new() } else { format!("  short: {}", short.join(", ")) }
        );
        missed.extend(short.into_iter().map(|what| format!("{}: {what}", row.name())));
        if row.levels_sd > 0.0 {
            all.add(&tally);
        }
    }
    let right = 100.0 * all.right();
    if all.right() + 2.0 * all.right_error() < 0.95 {
        missed.push(format!("{right:.1} % of all claims right, bar 95"));
    }
    let judged = parted(count)?;
    if judged > 0 {
        missed.push(format!("{judged} verdicts where nothing is joined, bar 0"));
    }
    println!(
        "\n{count} tables a row; of all claims {right:.1} % right; {judged} verdicts where nothing is joined"
    );
    if missed.is_empty() {
        println!("contrasts: ok");
        return Ok(ExitCode::SUCCESS);
    }
    println!("contrasts: {}", missed.join("; "));
    Ok(ExitCode::FAILURE)
}
