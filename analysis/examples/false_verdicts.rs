//! How often the verdict engine finds one of two equal arms better, and how often it finds a large difference, on made-up
//! trials whose pots differ more or less.
//!
//! `cargo run --release -p propagule-analysis --example false_verdicts -- [TABLES]`
//!
//! 1,500 tables a cell unless told otherwise, seed fixed. Rows of pots stand beside the exact figure of `power_with_pots`.
//! Exit code 1 where an engine errs in more than 9 % of a cell, or a simulated figure is 4 standard errors off the exact one.
#![expect(clippy::print_stdout, reason = "the table is printed")]

use std::process::ExitCode;

use propagule_analysis::planning::beta_binomial_law;
use propagule_analysis::verdict::{Arm, Trial, Unit, Verdict, judge, power_with_pots};

/// Rate of both arms where none is better; rates and log odds ratio where one is.
const EQUAL: f64 = 0.3;
const APART: (f64, f64) = (0.2, 0.7);
const LOG_ODDS_RATIO: f64 = 2.2;
/// Standard deviation of blocks in log odds.
const BLOCKS_SD: f64 = 0.8;
const ICCS: [f64; 3] = [0.0, 0.1, 0.2];
/// Share of verdicts for equal arms from which the run fails.
const MOST_FALSE: f64 = 0.09;

/// Splitmix64 (Steele, Lea & Flood 2014).
struct Chance(u64);

impl Chance {
    fn uniform(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Box & Muller 1958.
    fn normal(&mut self) -> f64 {
        let (u, v) = (self.uniform().max(1e-300), self.uniform());
        (-2.0 * u.ln()).sqrt() * (std::f64::consts::TAU * v).cos()
    }

    /// Successes of one pot.
    fn pot(&mut self, pieces: u32, rate: f64, icc: f64) -> u32 {
        let size = if icc > 0.0 { 1.0 / icc - 1.0 } else { 1e6 };
        let (u, mut sum) = (self.uniform(), 0.0);
        let mut below = |p: &f64| {
            sum += p;
            sum <= u
        };
        let law = beta_binomial_law(pieces, rate * size, (1.0 - rate) * size);
        (law.iter().take_while(|p| below(p)).count() as u32).min(pieces)
    }
}

/// Pots an arm, or blocks, each with one pot of every arm.
#[derive(Clone, Copy)]
struct Layout {
    pots: u32,
    pieces: u32,
    is_blocked: bool,
}

fn trial(chance: &mut Chance, layout: Layout, is_equal: bool, icc: f64) -> Trial {
    let mut arms = ["a", "b"].map(|label| Arm {
        label: label.into(),
        facets: [("auxin".to_owned(), label.to_owned())].into(),
        ..Arm::default()
    });
    for block in 0..layout.pots {
        let shift = if layout.is_blocked { BLOCKS_SD * chance.normal() } else { 0.0 };
        for (place, arm) in arms.iter_mut().enumerate() {
            let rate = match (is_equal, layout.is_blocked) {
                (false, false) => [APART.0, APART.1][place],
                (is_equal, _) => {
                    let gap = if is_equal { 0.0 } else { LOG_ODDS_RATIO * place as f64 };
                    1.0 / (1.0 + (-((EQUAL / (1.0 - EQUAL)).ln() + shift + gap)).exp())
                }
            };
            arm.units.push(Unit {
                started: layout.pieces,
                succeeded: Some(chance.pot(layout.pieces, rate, icc)),
                block: layout.is_blocked.then(|| block.to_string()),
                ..Unit::default()
            });
        }
    }
    Trial { arms: arms.into(), is_randomised: true, ..Trial::default() }
}

fn share_better(layout: Layout, is_equal: bool, icc: f64, tables: u32) -> f64 {
    let mut chance = Chance(20_261_128);
    let better =
        |_: &u32| judge(&trial(&mut chance, layout, is_equal, icc)).pairs[0].verdict == Verdict::Better;
    f64::from((0..tables).filter(better).count() as u32) / f64::from(tables)
}

fn main() -> ExitCode {
    let tables = std::env::args().nth(1).and_then(|text| text.parse().ok()).unwrap_or(1_500);
    let layouts =
        [(3, 4, false), (3, 10, false), (4, 10, false), (5, 12, false), (3, 10, true), (6, 6, true)];
    let mut is_met = true;
    println!("layout | equal arms, ICC 0 / 0.1 / 0.2: better in % (exact) | power at ICC 0 in % (exact)");
    for (pots, pieces, is_blocked) in layouts {
        let layout = Layout { pots, pieces, is_blocked };
        let mut cells = Vec::new();
        for (is_equal, icc) in ICCS.map(|icc| (true, icc)).into_iter().chain([(false, 0.0)]) {
            let got = share_better(layout, is_equal, icc, tables);
            let (a, b) = if is_equal { (EQUAL, EQUAL) } else { APART };
            let exact = (!is_blocked).then(|| power_with_pots(pots, pieces, a, b, icc));
            is_met &= !is_equal || got <= MOST_FALSE;
            let error = |p: f64| (p * (1.0 - p) / f64::from(tables)).sqrt();
            is_met &= exact.is_none_or(|p| (got - p).abs() <= 4.0 * error(p));
            let beside = exact.map_or_else(String::new, |p| format!(" ({:.1})", 100.0 * p));
            cells.push(format!("{:.1}{beside}", 100.0 * got));
        }
        let name = if is_blocked { "blocks" } else { "pots" };
        println!("{pots} {name} of {pieces} | {} | {}", cells[..3].join(" / "), cells[3]);
    }
    println!("{tables} tables a cell, bars {}", if is_met { "met" } else { "not met" });
    if is_met { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}
