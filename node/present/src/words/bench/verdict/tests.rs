//! The sentences of verdicts, from trials that the engine judged. Counts are invented.

use propagule_analysis::verdict::{Arm, Judged, Trial, Unit, judge};

use super::*;
use crate::words::sentences::times_in_100;
use propagule_bench::kind::Kind;

fn arm(label: &str, word: &str, pots: &[(u32, u32)]) -> Arm {
    let unit = |(place, (succeeded, started)): (usize, &(u32, u32))| Unit {
        name: format!("{label}{}", place + 1),
        started: *started,
        succeeded: Some(*succeeded),
        ..Unit::default()
    };
    Arm {
        label: label.to_owned(),
        facets: [("auxin".to_owned(), word.to_owned())].into(),
        units: pots.iter().enumerate().map(unit).collect(),
        ..Arm::default()
    }
}

fn trial(first: &[(u32, u32)], second: &[(u32, u32)]) -> Trial {
    let arms = vec![arm("dip", "IBA", first), arm("none", "none", second)];
    Trial { arms, is_randomised: true, control: Some(1), ..Trial::default() }
}

fn sentence(trial: &Trial) -> String {
    said(trial, 0).0
}

fn said(trial: &Trial, place: usize) -> (String, Option<String>) {
    let Judged { family, pairs } = judge(trial);
    let family = FamilyRow {
        kind: family.kind,
        size: family.size,
        control: Some("none".to_owned()),
        is_randomised: trial.is_randomised,
    };
    let facts = VerdictFacts {
        pair: &VerdictRow::of(&pairs[place]),
        family: &family,
        words: KindWords::of(Kind::Cutting),
        stage: Stage::Lift,
    };
    (facts.sentence(), facts.detail())
}

/// Succeeded and put in of three pots.
type Pots = [(u32, u32); 3];

const CLEAR: (Pots, Pots) = ([(7, 10), (8, 10), (6, 10)], [(2, 10), (3, 10), (3, 10)]);

#[test]
fn better_names_the_arm_its_cause_and_how_often_chance_would_do_it() {
    let mut clear = trial(&CLEAR.0, &CLEAR.1);
    assert_eq!(
        sentence(&clear),
        "dip did better than none: 21 of 30 rooted against 8 of 30. Only rooting hormone \
         differed. If it made no difference, a result this lopsided would turn up about 1 time \
         in 100. The difference is 43 points (95% interval 8 to 65)."
    );
    clear.is_randomised = false;
    assert!(sentence(&clear).contains("pots were not placed at random."));
    let detail = said(&clear, 0).1.expect("counted");
    assert!(detail.starts_with("dip and none: p = 0.015 (exact p = 0.0017, by pots p = 0.015)"), "{detail}");
}

#[test]
fn what_cannot_be_told_apart_says_why() {
    let close = sentence(&trial(&[(3, 4), (3, 4), (3, 4)], &[(2, 4), (2, 4), (2, 4)]));
    assert!(
        close.contains(
            "9 of 12 against 6 of 12 rooted. These counts cannot tell them apart. If it made no difference,"
        ),
        "{close}"
    );
    assert!(close.contains("about 40 times in 100"), "{close}");
    let unruly = sentence(&trial(&[(10, 10), (2, 10), (9, 10)], &[(1, 10), (7, 10), (3, 10)]));
    assert!(unruly.contains("pots of the same treatment differ more than chance explains."), "{unruly}");
}

#[test]
fn one_pot_none_and_all_have_no_verdict() {
    let single = said(&trial(&[(9, 12)], &[(4, 12)]), 0);
    assert_eq!(
        single.0,
        "dip and none: 9 of 12 against 4 of 12 rooted. No verdict: one pot each. A difference \
         between the pots would look just the same."
    );
    assert!(single.1.expect("counted").contains("as if every cutting were independent: p = 0.100;"));
    let none = sentence(&trial(&[(0, 6), (0, 6)], &[(0, 6), (0, 6)]));
    assert!(none.ends_with("yet. The true rates could still be as high as about 22%."), "{none}");
    let uneven = sentence(&trial(&[(0, 15)], &[(0, 13)]));
    assert!(
        uneven.ends_with("yet. The true rates could still be as high as about 18% and about 21%."),
        "{uneven}"
    );
    assert!(sentence(&trial(&[(6, 6), (6, 6)], &[(6, 6), (6, 6)])).ends_with("No difference to see."));
}

#[test]
fn what_goes_together_is_named_and_nothing_is_ranked() {
    let mut together = trial(&CLEAR.0, &CLEAR.1);
    together.arms[0].facets.insert("bottom_heat".into(), "20 to 22 °C".into());
    let text = sentence(&together);
    assert!(
        text.ends_with(
            "rooted. No verdict: rooting hormone and bottom heat changed together and cannot be separated."
        ),
        "{text}"
    );
    let mut people = trial(&CLEAR.0, &CLEAR.1);
    for (arm, who) in people.arms.iter_mut().zip(["P", "Q"]) {
        arm.facets.clear();
        arm.units.iter_mut().for_each(|unit| unit.operator = Some(who.into()));
    }
    assert!(sentence(&people).contains("people are not compared"));
}

#[test]
fn the_family_and_what_is_open_are_named() {
    let mut doses = trial(&CLEAR.0, &CLEAR.1);
    doses.arms.push(arm("strong", "strong", &[(5, 10), (4, 10), (6, 10)]));
    assert!(said(&doses, 0).0.contains("This is one of 2 comparisons with none."));
    doses.arms[2].units[1].succeeded = None;
    assert!(said(&doses, 1).0.ends_with("strong and none: Not counted yet: strong2."));
}

#[test]
fn lost_pieces_are_read_both_ways_when_that_changes_something() {
    let mut flips = trial(&[(3, 4), (3, 4), (3, 4)], &[(3, 4), (3, 4), (0, 4)]);
    flips.arms[1].units[2].lost = 4;
    assert!(sentence(&flips).ends_with(" Without the lost cuttings: 9 of 12 against 6 of 8, both 75%."));
    let mut decides = trial(&[(6, 6), (5, 6), (5, 6), (4, 6)], &[(3, 6), (3, 6), (4, 6), (0, 6)]);
    decides.arms[1].units[3].lost = 6;
    assert!(sentence(&decides).contains("No verdict: clear only while the lost cuttings count as failures"));
}

#[test]
fn chances_are_said_in_whole_times() {
    assert_eq!(
        [0.0049, 0.006, 0.4, 1.0].map(times_in_100),
        ["fewer than 1 time in 100", "about 1 time in 100", "about 40 times in 100", "nearly every time",]
    );
    assert_eq!(points(-0.004, -0.2, 0.3), ["0", "\u{2212}20 to 30"]);
}
