//! Tables of trials whose truth is known.

use propagule_analysis::Count;
use propagule_analysis::table::{ArmTable, ArmTableError, CountedArm};

use crate::random::Random;

/// One kind of table.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Row {
    pub(crate) seed: u64,
    pub(crate) levels: usize,
    pub(crate) growers: usize,
    pub(crate) trials_a_grower: usize,
    /// Levels that a trial holds: drawn anew for each where it is less than all.
    pub(crate) held: usize,
    pub(crate) pieces: u32,
    /// Spread of levels: the truth.
    pub(crate) levels_sd: f64,
    /// Spread of a grower's level, of arms, and of the means of sets of levels.
    pub(crate) slopes_sd: f64,
    pub(crate) arms_sd: f64,
    pub(crate) sets_sd: f64,
    /// All spreads, and means of sets, are drawn from the model's own priors: the truth that its intervals are made for.
    pub(crate) is_from_prior: bool,
}

/// Spreads of one table.
struct Spreads {
    levels: f64,
    slopes: f64,
    arms: f64,
    trials: f64,
}

/// Part of the half-Cauchy prior that spreads of levels are drawn from: beyond it log odds differ by more than counts show.
const OF_PRIOR: f64 = 0.96;
/// Log odds of 20 %, and the spread of trials around it.
const TYPICAL: f64 = -1.386;
const TRIALS_SD: f64 = 0.8;

/// All kinds: 12 pieces an arm as in the design's table, then 16 pieces with effects that vary by grower, arms that differ, or
/// both; then sets of levels that differ among each other, which says nothing of levels.
pub(crate) fn rows() -> Vec<Row> {
    let plain = Row {
        seed: 31,
        levels: 2,
        growers: 6,
        trials_a_grower: 1,
        held: 2,
        pieces: 12,
        levels_sd: 0.0,
        slopes_sd: 0.0,
        arms_sd: 0.3,
        sets_sd: 0.0,
        is_from_prior: false,
    };
    let mut kinds = vec![plain];
    kinds.push(Row { seed: 32, levels: 6, held: 6, growers: 2, ..plain });
    kinds.push(Row { seed: 33, levels: 6, held: 6, growers: 5, ..plain });
    let varied = Row { levels: 4, held: 4, pieces: 16, ..plain };
    for (seed, growers) in (34..).zip([6, 15, 30]) {
        kinds.push(Row { seed, growers, slopes_sd: 0.5, ..varied });
        kinds.push(Row { seed, growers, arms_sd: 0.5, ..varied });
        kinds.push(Row { seed, growers, slopes_sd: 0.8, arms_sd: 0.5, ..varied });
    }
    kinds.push(Row { seed: 37, growers: 5, trials_a_grower: 3, slopes_sd: 0.5, ..varied });
    kinds.push(Row { seed: 38, growers: 10, held: 2, sets_sd: 1.0, ..varied });
    let sized = |kind: Row| [0.0, 0.4, 0.8].map(|levels_sd| Row { levels_sd, ..kind });
    let mut rows: Vec<Row> = kinds.into_iter().flat_map(sized).collect();
    let prior = Row { is_from_prior: true, seed: 40, ..plain };
    rows.push(prior);
    rows.push(Row { levels: 4, held: 3, growers: 8, pieces: 16, ..prior });
    rows.push(Row { levels: 4, held: 4, growers: 4, trials_a_grower: 2, pieces: 16, ..prior });
    rows
}

impl Row {
    pub(crate) fn name(&self) -> String {
        let Self { levels, growers, held, levels_sd, slopes_sd, arms_sd, sets_sd, .. } = *self;
        let trials = growers * self.trials_a_grower;
        let part = if held < levels { format!("/{held}") } else { String::new() };
        if self.is_from_prior {
            return format!("{levels}{part} arms, {trials} trials, all from the priors");
        }
        format!(
            "{levels}{part} arms, {trials} trials, d {levels_sd}, V {slopes_sd}, A {arms_sd}, sets {sets_sd}"
        )
    }

    /// The true effects of levels, and a table drawn from them.
    pub(crate) fn draw(&self, number: u64) -> Result<(Vec<f64>, ArmTable), ArmTableError> {
        let mut random = Random::new(self.seed, number);
        let spreads = self.spreads(&mut random);
        // A difference of two levels of two has the spread that is named.
        let scale =
            if self.levels == 2 && !self.is_from_prior { std::f64::consts::FRAC_1_SQRT_2 } else { 1.0 };
        let truth: Vec<f64> = (0..self.levels).map(|_| scale * spreads.levels * random.normal()).collect();
        let (typical, sets_sd) = if self.is_from_prior { (0.0, 2.5) } else { (TYPICAL, self.sets_sd) };
        let sets: Vec<f64> = (0..1 << self.levels).map(|_| typical + sets_sd * random.normal()).collect();
        let mut rows = Vec::new();
        for grower in 0..self.growers {
            let slopes: Vec<f64> = (0..self.levels).map(|_| spreads.slopes * random.normal()).collect();
            for trial in 0..self.trials_a_grower {
                let held = self.drawn(&mut random);
                let set: usize = held.iter().map(|level| 1 << level).sum();
                let trial_level = sets[set] + spreads.trials * random.normal();
                for level in held {
                    let log_odds =
                        trial_level + truth[level] + slopes[level] + spreads.arms * random.normal();
                    let rate = 1.0 / (1.0 + (-log_odds).exp());
                    let count = Count { started: self.pieces, succeeded: random.binomial(self.pieces, rate) };
                    let trial = grower * self.trials_a_grower + trial;
                    rows.push(CountedArm { grower, trial, levels: vec![Some(level)], count, replicates: 1 });
                }
            }
        }
        Ok((truth, ArmTable::new(vec![self.levels], vec![1.0; self.growers], rows)?))
    }

    fn spreads(&self, random: &mut Random) -> Spreads {
        if !self.is_from_prior {
            let Self { levels_sd, slopes_sd, arms_sd, .. } = *self;
            return Spreads { levels: levels_sd, slopes: slopes_sd, arms: arms_sd, trials: TRIALS_SD };
        }
        let levels = 0.25 * (std::f64::consts::FRAC_PI_2 * OF_PRIOR * random.uniform()).tan();
        let slopes = if self.trials_a_grower > 1 { 0.4 * random.normal().abs() } else { 0.0 };
        Spreads { levels, slopes, arms: 0.4 * random.normal().abs(), trials: random.normal().abs() }
    }

    /// The levels of a trial.
    fn drawn(&self, random: &mut Random) -> Vec<usize> {
        let mut levels: Vec<usize> = (0..self.levels).collect();
        while levels.len() > self.held {
            levels.remove(random.whole(0, levels.len() as u32 - 1) as usize);
        }
        levels
    }
}
