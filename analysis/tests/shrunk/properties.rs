//! What must hold for any counts.

use std::collections::BTreeSet;

use propagule_analysis::Count;
use propagule_analysis::shrunk::{self, ShrunkFit, ShrunkOptions};
use propagule_analysis::table::{ArmTable, CountedArm};
use propagule_analysis::verdict::Verdict;
use proptest::prelude::*;

const LEVELS: usize = 4;
const GROWERS: usize = 4;

/// Rows of a facet of four levels and one of two, some not known. Trial k is grower k modulo the number of growers.
fn rows() -> impl Strategy<Value = Vec<CountedArm>> {
    let level = prop_oneof![8 => (0..LEVELS).prop_map(Some), 1 => Just(None)];
    let other = prop_oneof![6 => Just(Some(0)), 2 => Just(Some(1)), 1 => Just(None)];
    let count = (0..30u32).prop_flat_map(|n| (Just(n), 0..=n));
    let row = (0..7usize, level, other, count, 1..4u32);
    let row = row.prop_map(|(trial, level, other, (started, succeeded), replicates)| CountedArm {
        grower: trial % GROWERS,
        trial,
        levels: vec![level, other],
        count: Count { started, succeeded },
        replicates,
    });
    prop::collection::vec(row, 0..14)
}

fn weights() -> impl Strategy<Value = Vec<f64>> {
    let weight = prop_oneof![3 => Just(1.0), 1 => Just(0.0), 1 => 0.0..=1.0];
    prop::collection::vec(weight, GROWERS)
}

fn fit(rows: Vec<CountedArm>, weights: Vec<f64>) -> ShrunkFit {
    let table = ArmTable::new(vec![LEVELS, 2], weights, rows).expect("valid");
    shrunk::fit(&table, 0, &ShrunkOptions::default()).expect("converges")
}

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-6
}

/// All pairs alike, once levels are named by `name`; the sign turns where the pair does.
fn same(a: &ShrunkFit, b: &ShrunkFit, name: impl Fn(usize) -> usize, sign: f64) -> bool {
    a.pairs.iter().all(|pair| {
        let (first, second) = (name(pair.first), name(pair.second));
        let sign = if first < second { sign } else { -sign };
        let other = b.pair(first.min(second), first.max(second)).expect("a pair");
        let chance = |p: f64| if sign > 0.0 { p } else { 1.0 - p };
        let figures = match (pair.estimate, other.estimate) {
            (None, None) => true,
            (Some(x), Some(y)) => {
                close(x.log_or_mean, sign * y.log_or_mean)
                    && close(x.log_or_sd, y.log_or_sd)
                    && close(x.log_or_q[0], if sign > 0.0 { y.log_or_q[0] } else { -y.log_or_q[2] })
                    && close(x.prob_first_better, chance(y.prob_first_better))
                    && close(x.prob_first_better_next_trial, chance(y.prob_first_better_next_trial))
            }
            _ => false,
        };
        let is_near = pair
            .estimate
            .is_some_and(|x| close(x.prob_first_better, 0.95) || close(x.prob_first_better, 0.05));
        figures && pair.trials == other.trials && (pair.verdict == other.verdict || is_near)
    })
}

/// Whether the difference of two levels lies in what the differences inside strata span, by elimination.
fn is_estimable(rows: &[CountedArm], a: usize, b: usize) -> bool {
    let known = |row: &&CountedArm| row.count.started > 0 && row.levels.iter().all(Option::is_some);
    let rows: Vec<&CountedArm> = rows.iter().filter(known).collect();
    let strata: BTreeSet<(usize, Option<usize>)> =
        rows.iter().map(|row| (row.trial, row.levels[1])).collect();
    let strata: Vec<_> = strata.into_iter().collect();
    let design = |row: &&CountedArm| {
        let mut line = vec![0.0; LEVELS + strata.len()];
        line[row.levels[0].expect("known")] = 1.0;
        let stratum =
            strata.iter().position(|stratum| *stratum == (row.trial, row.levels[1])).expect("listed");
        line[LEVELS + stratum] = 1.0;
        line
    };
    let lines: Vec<Vec<f64>> = rows.iter().map(design).collect();
    let mut wanted = vec![0.0; LEVELS + strata.len()];
    (wanted[a], wanted[b]) = (1.0, -1.0);
    let with = [lines.clone(), vec![wanted]].concat();
    rank(lines) == rank(with)
}

fn rank(mut lines: Vec<Vec<f64>>) -> usize {
    let columns = lines.first().map_or(0, Vec::len);
    let mut rank = 0;
    for column in 0..columns {
        let Some(found) = (rank..lines.len()).find(|k| lines[*k][column].abs() > 1e-9) else { continue };
        lines.swap(rank, found);
        let pivot = lines[rank].clone();
        for line in &mut lines[rank + 1..] {
            let share = line[column] / pivot[column];
            line.iter_mut().zip(&pivot).for_each(|(x, p)| *x -= share * p);
        }
        rank += 1;
    }
    rank
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    #[test]
    fn order_and_names_do_not_matter((rows, weights) in (rows(), weights()), turn in 0..14usize) {
        let before = fit(rows.clone(), weights.clone());
        let mut turned = rows.clone();
        turned.rotate_left(turn.min(rows.len()));
        prop_assert_eq!(&fit(turned, weights.clone()), &before);
        // Growers and trials by other names.
        let renamed = rows.iter().map(|row| CountedArm { grower: GROWERS - 1 - row.grower, trial: 90 - row.trial, ..row.clone() });
        let reversed = weights.iter().rev().copied().collect();
        prop_assert_eq!(&fit(renamed.collect(), reversed), &before);
        let next = |level: usize| (level + 1) % LEVELS;
        let levels = rows.iter().map(|row| CountedArm { levels: vec![row.levels[0].map(next), row.levels[1]], ..row.clone() });
        let moved = fit(levels.collect(), weights);
        prop_assert!(same(&before, &moved, next, 1.0), "{:#?} {:#?}", before, moved);
    }

    #[test]
    fn counting_failures_mirrors_everything((rows, weights) in (rows(), weights())) {
        let before = fit(rows.clone(), weights.clone());
        let failures = rows.iter().map(|row| {
            let count = Count { started: row.count.started, succeeded: row.count.failed() };
            CountedArm { count, ..row.clone() }
        });
        let after = fit(failures.collect(), weights);
        prop_assert!(same(&before, &after, |level| level, -1.0), "{:#?} {:#?}", before, after);
    }

    #[test]
    fn weight_zero_and_nothing_started_are_absence((rows, weights) in (rows(), weights())) {
        let kept = rows.iter().filter(|row| weights[row.grower] > 0.0 && row.count.started > 0).cloned();
        prop_assert_eq!(fit(kept.collect(), weights.clone()), fit(rows, weights));
    }

    #[test]
    fn a_pair_is_judged_where_the_rank_says_so(rows in rows()) {
        let fit = fit(rows.clone(), vec![1.0; GROWERS]);
        for pair in &fit.pairs {
            let judged = !matches!(pair.verdict, Verdict::Confounded | Verdict::NeverCompared);
            prop_assert_eq!(judged, is_estimable(&rows, pair.first, pair.second));
            prop_assert_eq!(judged, pair.estimate.is_some());
        }
    }

    #[test]
    fn all_of_one_arm_keeps_figures_finite(started in 1..400u32, trials in 1..6usize) {
        let arm = |trial, level, succeeded| CountedArm {
            grower: trial % GROWERS, trial, levels: vec![Some(level), Some(0)], count: Count { started, succeeded }, replicates: 2,
        };
        let rows = (0..trials).flat_map(|trial| [arm(trial, 0, started), arm(trial, 1, 0)]).collect();
        let fit = fit(rows, vec![1.0; GROWERS]);
        let estimate = fit.pair(0, 1).and_then(|pair| pair.estimate).expect("compared");
        let [low, middle, high] = estimate.log_or_q;
        prop_assert!(low.is_finite() && high.is_finite() && low < middle && middle < high && estimate.prob_first_better > 0.5);
    }
}
