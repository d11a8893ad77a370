//! What is counted over tables.

use std::fmt;

use propagule_analysis::Count;
use propagule_analysis::planning::binomial_at_least;
use propagule_analysis::shrunk::{self, ShrunkOptions, ShrunkPair};
use propagule_analysis::table::{ArmTable, CountedArm};
use propagule_analysis::verdict::Verdict;

use crate::random::Random;
use crate::tables::Row;

/// P(Z > 2).
const TWO_ERRORS: f64 = 0.022_75;

#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Tally {
    tables: f64,
    tables_with_claim: f64,
    claims: f64,
    right_claims: f64,
    pairs: f64,
    covered: f64,
}

impl Tally {
    pub(crate) fn of(row: &Row, tables: u64) -> Result<Self, Box<dyn std::error::Error>> {
        let mut tally = Self::default();
        for number in 0..tables {
            let (truth, table) = row.draw(number)?;
            let fit = shrunk::fit(&table, 0, &ShrunkOptions::default())?;
            tally.tables += 1.0;
            let claims_before = tally.claims;
            fit.pairs.iter().for_each(|pair| tally.take(pair, truth[pair.first] - truth[pair.second]));
            tally.tables_with_claim += f64::from(u8::from(tally.claims > claims_before));
        }
        Ok(tally)
    }

    fn take(&mut self, pair: &ShrunkPair, truth: f64) {
        let Some(estimate) = pair.estimate else { return };
        let [low, _, high] = estimate.log_or_q;
        self.pairs += 1.0;
        self.covered += f64::from(u8::from((low..=high).contains(&truth)));
        if pair.verdict == Verdict::Likely {
            self.claims += 1.0;
            self.right_claims += f64::from(u8::from((estimate.log_or_mean > 0.0) == (truth > 0.0)));
        }
    }

    pub(crate) fn add(&mut self, other: &Self) {
        self.tables += other.tables;
        self.tables_with_claim += other.tables_with_claim;
        self.claims += other.claims;
        self.right_claims += other.right_claims;
        self.pairs += other.pairs;
        self.covered += other.covered;
    }

    /// Share of claims that are right; all where there are none.
    pub(crate) fn right(&self) -> f64 {
        if self.claims > 0.0 { self.right_claims / self.claims } else { 1.0 }
    }

    /// Monte Carlo error of that share, were it the bar's.
    pub(crate) fn right_error(&self) -> f64 {
        error(0.9, self.claims)
    }

    pub(crate) fn claimed(&self) -> f64 {
        self.tables_with_claim / self.tables
    }

    pub(crate) fn covered(&self) -> f64 {
        self.covered / self.pairs
    }

    /// Bars that are missed by more than two Monte Carlo errors. Pairs of one table are taken for one.
    pub(crate) fn shortfalls(&self, row: &Row) -> Vec<String> {
        let mut short = Vec::new();
        let (right, least, most) = if row.is_from_prior { (0.95, 0.93, 0.97) } else { (0.9, 0.86, 1.0) };
        if row.levels_sd > 0.0 || row.is_from_prior {
            if is_beyond(self.claims - self.right_claims, self.claims, 1.0 - right) {
                short.push(format!(
                    "{:.1} % of claims right, bar {:.0}",
                    100.0 * self.right(),
                    100.0 * right
                ));
            }
        } else if is_beyond(self.tables_with_claim, self.tables, 0.05) {
            short.push(format!("claims in {:.1} %, bar 5", 100.0 * self.claimed()));
        }
        let slack = 2.0 * error(least, self.tables);
        if !(least - slack..=most + slack).contains(&self.covered()) {
            let (least, most) = (100.0 * least, 100.0 * most);
            short.push(format!("{:.1} % covered, bar {least:.0} to {most:.0}", 100.0 * self.covered()));
        }
        short
    }
}

/// Whether so many of all, or more, come by chance less often than two Monte Carlo errors are exceeded, were `share` true.
fn is_beyond(seen: f64, all: f64, share: f64) -> bool {
    binomial_at_least(seen as u32, all as u32, share) < TWO_ERRORS
}

fn error(share: f64, count: f64) -> f64 {
    if count > 0.0 { (share * (1.0 - share) / count).sqrt() } else { 0.0 }
}

impl fmt::Display for Tally {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let right = if self.claims > 0.0 { format!("{:.1}", 100.0 * self.right()) } else { "–".to_owned() };
        let (claimed, covered) = (100.0 * self.claimed(), 100.0 * self.covered());
        write!(f, "{claimed:>7.1} %{right:>7} %{covered:>7.1} %{:>9}", self.claims)
    }
}

/// Verdicts on two levels of which one always had another medium, and on two that no trial held together: none may be given.
pub(crate) fn parted(tables: u64) -> Result<usize, Box<dyn std::error::Error>> {
    let mut judged = 0;
    for number in 0..tables {
        let mut random = Random::new(39, number);
        let mut row = |trial: usize, level: usize, medium: usize| {
            let succeeded = random.binomial(20, if level == 0 { 0.1 } else { 0.8 });
            let levels = vec![Some(level), Some(medium)];
            CountedArm {
                grower: trial,
                trial,
                levels,
                count: Count { started: 20, succeeded },
                replicates: 4,
            }
        };
        let together = (0..8).flat_map(|trial| [row(trial, 0, 0), row(trial, 1, 1)]).collect();
        let apart = (0..8).map(|trial| row(trial, trial % 2, 0)).collect();
        for rows in [together, apart] {
            let table = ArmTable::new(vec![2, 2], vec![1.0; 8], rows)?;
            let fit = shrunk::fit(&table, 0, &ShrunkOptions::default())?;
            judged += fit.pairs.iter().filter(|pair| pair.estimate.is_some()).count();
            let words = [Verdict::Confounded, Verdict::NeverCompared];
            judged += fit.pairs.iter().filter(|pair| !words.contains(&pair.verdict)).count();
        }
    }
    Ok(judged)
}
