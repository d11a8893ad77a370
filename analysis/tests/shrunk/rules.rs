//! Which verdicts may be reached at all, and figures of single trials.

use propagule_analysis::Count;
use propagule_analysis::shrunk::{self, ShrunkFit, ShrunkOptions};
use propagule_analysis::table::{ArmTable, CountedArm};
use propagule_analysis::verdict::Verdict;

/// Trial, level, other facet, started, succeeded, replicates; each trial is a grower's own.
type Given = (usize, usize, Option<usize>, u32, u32, u32);

fn fit(levels: usize, given: &[Given]) -> ShrunkFit {
    let row = |&(trial, level, other, started, succeeded, replicates): &Given| CountedArm {
        grower: trial,
        trial,
        levels: vec![Some(level), other],
        count: Count { started, succeeded },
        replicates,
    };
    let rows = given.iter().map(row).collect();
    let table = ArmTable::new(vec![levels, 3], vec![1.0; 30], rows).expect("valid");
    shrunk::fit(&table, 0, &ShrunkOptions::default()).expect("converges")
}

fn verdict(fit: &ShrunkFit, first: usize, second: usize) -> Verdict {
    fit.pair(first, second).expect("a pair").verdict
}

#[test]
fn one_trial_is_as_sure_as_the_design_says() {
    // The design's own prototype: half-Cauchy(0.25), one trial of two arms.
    for (a, b, started, want) in [(20, 2, 24, 0.972), (8, 0, 12, 0.950), (12, 4, 24, 0.790)] {
        let fit = fit(2, &[(0, 0, Some(0), started, a, 2), (0, 1, Some(0), started, b, 2)]);
        let chance = fit.pairs[0].estimate.expect("compared").prob_first_better;
        assert!((chance - want).abs() < 0.02, "{a} and {b} of {started}: {chance}, not {want}");
    }
}

#[test]
fn one_trial_with_one_replicate_is_a_single_unit() {
    let pair =
        |trial, replicates| [(trial, 0, Some(0), 24, 20, replicates), (trial, 1, Some(0), 24, 2, replicates)];
    let alone = |replicates| verdict(&fit(2, &pair(0, replicates)), 0, 1);
    assert_eq!((alone(1), alone(2)), (Verdict::SingleUnit, Verdict::Likely));
    assert_eq!(verdict(&fit(2, &[pair(0, 1), pair(1, 1)].concat()), 0, 1), Verdict::Likely);
    // Another trial leads from one to the other by a third level: not all rests on the first.
    let round = [
        &pair(0, 1)[..],
        &[
            (1, 0, Some(0), 24, 12, 1),
            (1, 2, Some(0), 24, 12, 1),
            (2, 1, Some(0), 24, 12, 1),
            (2, 2, Some(0), 24, 12, 1),
        ],
    ];
    assert_ne!(verdict(&fit(3, &round.concat()), 0, 1), Verdict::SingleUnit);
}

#[test]
fn what_moved_together_is_named_and_not_judged() {
    let trial = |trial| [(trial, 0, Some(0), 24, 20, 4), (trial, 1, Some(1), 24, 2, 4)];
    let both = fit(2, &[trial(0), trial(1), trial(2)].concat());
    let pair = &both.pairs[0];
    assert_eq!((pair.verdict, &pair.together[..], pair.trials), (Verdict::Confounded, &[1][..], 0));
    assert!(pair.estimate.is_none() && both.ranks(2) == [1, 1]);
    // A level of the other facet that is not known is not equal to any.
    let unknown = fit(2, &[(0, 0, None, 24, 20, 4), (0, 1, None, 24, 2, 4)]);
    assert_eq!((unknown.pairs[0].verdict, &unknown.pairs[0].together[..]), (Verdict::Confounded, &[1][..]));
    // One trial with the other facet held still parts them.
    let parted = fit(2, &[&trial(0)[..], &[(3, 0, Some(2), 24, 20, 4), (3, 1, Some(2), 24, 2, 4)]].concat());
    assert_eq!((parted.pairs[0].verdict, parted.pairs[0].trials), (Verdict::Likely, 1));
}

#[test]
fn a_leader_beats_every_rival_and_ranks_count_the_better_ones() {
    let trial = |trial| {
        [(trial, 0, Some(0), 30, 27, 2), (trial, 1, Some(0), 30, 10, 2), (trial, 2, Some(0), 30, 11, 2)]
    };
    let fit = fit(4, &(0..4).flat_map(trial).collect::<Vec<_>>());
    assert_eq!(fit.ranks(4), [1, 2, 2, 1]);
    // Level 3 was never tried: with it no level stands out.
    assert_eq!(
        (fit.leader(&[0, 1, 2]), fit.leader(&[1, 2]), fit.leader(&[0, 1, 2, 3])),
        (Some(0), None, None)
    );
    assert_eq!(fit.leader(&[0]), None);
}
