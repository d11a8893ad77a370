//! Which pairs are judged how, by layout alone. Counts are invented.

use propagule_analysis::verdict::{Design, FamilyKind, PairVerdict, Reason, Trial, Verdict, judge};

use super::made::{arm, by_piece, in_blocks, two};

fn first(trial: &Trial) -> PairVerdict {
    judge(trial).pairs.into_iter().next().expect("a pair")
}

fn design(pair: &PairVerdict) -> Option<Design> {
    pair.reading.as_ref().map(|reading| reading.comparison.design)
}

const POTS: [(u32, u32); 3] = [(7, 10), (8, 10), (6, 10)];
const OTHERS: [(u32, u32); 3] = [(2, 10), (3, 10), (3, 10)];

#[test]
fn two_facets_that_go_together_are_not_told_apart() {
    let mut trial = two(&POTS, &OTHERS);
    for (arm, medium) in trial.arms.iter_mut().zip(["perlite", "bark"]) {
        arm.facets.insert("medium".into(), medium.into());
    }
    let pair = first(&trial);
    assert_eq!(pair.verdict, Verdict::Confounded);
    assert_eq!(pair.reason, Reason::Together(vec!["auxin".into(), "medium".into()]));
    // One that is not known is not taken as equal.
    trial.arms[1].facets.remove("medium");
    assert_eq!(first(&trial).verdict, Verdict::Confounded);
}

#[test]
fn another_spot_is_never_told_apart_and_an_unlisted_difference_is_only_alone() {
    let mut trial = two(&POTS, &OTHERS);
    trial.arms[0].apart.insert("day put in".into(), "5 May".into());
    trial.arms[1].apart.insert("day put in".into(), "6 May".into());
    assert_eq!(first(&trial).verdict, Verdict::Confounded);
    trial.arms[1].facets.insert("auxin".into(), "IBA".into());
    let pair = first(&trial);
    assert_eq!((pair.verdict, pair.factor.as_deref()), (Verdict::Better, Some("day put in")));
    trial.arms.iter_mut().for_each(|arm| arm.apart.clear());
    assert_eq!(first(&trial).verdict, Verdict::Better);
    trial.arms[1].spot = Some("frame".into());
    assert_eq!(first(&trial).verdict, Verdict::Confounded);
}

#[test]
fn people_are_not_compared() {
    let mut trial = two(&POTS, &OTHERS);
    trial.arms[1].facets.insert("auxin".into(), "IBA".into());
    for (arm, who) in trial.arms.iter_mut().zip(["R", "S"]) {
        arm.units.iter_mut().for_each(|unit| unit.operator = Some(who.into()));
    }
    let pair = first(&trial);
    assert_eq!((pair.verdict, pair.reason), (Verdict::Confounded, Reason::PeopleAreNotCompared));
}

#[test]
fn blocks_with_one_arm_are_left_out_and_counted() {
    let mut trial = in_blocks(two(&[(8, 10), (6, 10), (9, 10)], &[(4, 10), (2, 10)]));
    let pair = first(&trial);
    assert_eq!((design(&pair), pair.blocks, pair.blocks_left_out), (Some(Design::Blocks), 2, 1));
    // One usable block is no block: pots in it, and with a single pot of an arm nothing to judge by.
    trial.arms[1].units.remove(1);
    let pair = first(&trial);
    assert_eq!((design(&pair), pair.blocks_left_out), (Some(Design::Single), 2));
    trial.arms.iter_mut().flat_map(|arm| &mut arm.units).for_each(|unit| unit.block = Some("tray".into()));
    let again = trial.arms[1].units[0].clone();
    trial.arms[1].units.push(again);
    assert_eq!(design(&first(&trial)), Some(Design::Pots));
}

#[test]
fn stock_plants_are_strata_only_where_each_gave_to_both_arms() {
    let given = |names: [&str; 6]| {
        let mut trial = two(&POTS, &OTHERS);
        let units = trial.arms.iter_mut().flat_map(|arm| &mut arm.units);
        units.zip(names).for_each(|(unit, name)| unit.stock_plant = Some(name.into()));
        first(&trial)
    };
    assert_eq!(design(&given(["m1"; 6])), Some(Design::Pots));
    let shared = given(["m1", "m2", "m2", "m1", "m1", "m2"]);
    assert_eq!((design(&shared), shared.blocks), (Some(Design::Blocks), 2));
    let apart = given(["m1", "m2", "m3", "m1", "m2", "m4"]);
    assert_eq!(apart.reason, Reason::Together(vec!["auxin".into(), "stock plant".into()]));
}

#[test]
fn what_is_not_counted_is_pending_and_stays_in_the_family() {
    let mut trial = two(&POTS, &OTHERS);
    trial.arms.push(arm("strong", &[("auxin", "strong")], &POTS));
    trial.control = Some(1);
    assert!(judge(&trial).pairs.iter().all(|pair| pair.verdict == Verdict::Better));
    trial.arms[2].units[1].succeeded = None;
    let judged = judge(&trial);
    assert_eq!(judged.family.size, 2);
    assert_eq!(judged.pairs[1].reason, Reason::NotCounted(vec!["strong2".into()]));
    let reading = judged.pairs[0].reading.as_ref().expect("counted");
    assert_eq!(reading.p_holm, reading.comparison.p.map(|p| 2.0 * p));
}

#[test]
fn a_crossing_that_lacks_a_cell_has_pairs_instead() {
    let cell =
        |wood: &str, auxin: &str| arm(&format!("{wood} {auxin}"), &[("wood", wood), ("auxin", auxin)], &POTS);
    let mut arms = vec![cell("soft", "dip"), cell("soft", "none"), cell("ripe", "dip"), cell("ripe", "none")];
    assert_eq!(judge(&Trial { arms: arms.clone(), ..Trial::default() }).family.kind, FamilyKind::Factorial);
    arms.pop();
    let judged = judge(&Trial { arms, ..Trial::default() });
    // The two that differ in both are listed, and no verdict is given.
    assert_eq!((judged.family.kind, judged.family.size, judged.pairs.len()), (FamilyKind::Pairs, 2, 3));
    assert_eq!(judged.pairs.iter().filter(|pair| pair.verdict == Verdict::Confounded).count(), 1);
}

#[test]
fn a_crossing_in_blocks_is_judged_by_blocks() {
    let cell = |wood: &str, auxin: &str, rooted: [u32; 3]| {
        arm(&format!("{wood} {auxin}"), &[("wood", wood), ("auxin", auxin)], &rooted.map(|n| (n, 10)))
    };
    let arms = vec![
        cell("soft", "dip", [8, 9, 7]),
        cell("soft", "none", [5, 6, 4]),
        cell("ripe", "dip", [5, 6, 5]),
        cell("ripe", "none", [2, 3, 1]),
    ];
    let pair = first(&in_blocks(Trial { arms, ..Trial::default() }));
    let comparison = pair.reading.expect("counted").comparison;
    // Three blocks within each of two woods: six strata, five degrees of freedom.
    assert_eq!((comparison.design, comparison.strata.len()), (Design::Factorial, 6));
    assert_eq!(comparison.pots.map(|pots| pots.df), Some(5));
}

#[test]
fn pieces_without_blocks_are_one_stratum() {
    let pair = first(&by_piece(two(&[(21, 30)], &[(8, 30)])));
    let comparison = pair.reading.expect("counted").comparison;
    assert_eq!((comparison.design, comparison.p), (Design::Pieces, Some(comparison.fisher_on_totals)));
    assert_eq!(pair.verdict, Verdict::Better);
}
