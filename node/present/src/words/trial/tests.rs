//! The sentences about one trial, at the edges of their numbers.

use super::*;
use propagule_bench::Row;
use propagule_bench::dates::When;
use propagule_bench::kind::Kind;

fn when(text: &str) -> When {
    When::day(text.parse().expect("a day"))
}

fn arm(succeeded: u32, row: Row) -> ArmRow {
    ArmRow::of("A", when("2026-09-14"), row, Some(succeeded))
}

fn row(started: u32, rooted: u32, waiting: u32, dead: u32) -> Row {
    Row {
        started,
        rooted_alive: rooted,
        waiting,
        dead,
        at_least: rooted,
        looked_for: started,
        ..Row::default()
    }
}

fn line(arm: &ArmRow) -> String {
    arm_line(arm, &KindWords::of(Kind::Cutting), Stage::Lift)
}

#[test]
fn none_some_and_all_are_each_said_their_way() {
    // One-sided limits, by hand: 1 − 0.05^(1/18) = 0.153, 0.05^(1/10) = 0.741.
    assert_eq!(
        line(&arm(0, row(18, 0, 9, 9))),
        "A: 0 of 18 rooted. The true rate could still be as high as about 15%. 9 still green, not rooted."
    );
    assert_eq!(
        line(&arm(10, row(10, 10, 0, 0))),
        "A: all 10 rooted. The true rate could be as low as about 74%."
    );
    // Wilson's interval of 9 of 12 from R 4.2, prop.test(9, 12, correct = FALSE): 0.468 to 0.911.
    assert_eq!(line(&arm(9, row(12, 9, 0, 3))), "A: 9 of 12 rooted (75%; 95% interval 47\u{2013}91%).");
    assert!(line(&arm(0, row(6, 0, 0, 6))).ends_with("0 alive."));
    assert!(line(&arm(0, row(1, 0, 1, 0))).starts_with("The only cutting of A did"));
}

#[test]
fn what_rooted_and_died_stands_beside_the_headline() {
    let died = Row { dead: 5, dead_rooted: 5, at_least: 10, ..row(10, 5, 0, 0) };
    let said = line(&arm(5, died));
    assert!(
        said.contains("5 of 10 rooted (50%")
            && said.ends_with(" 10 of 10 rooted at some time, 5 of them died."),
        "{said}"
    );
}

#[test]
fn what_nobody_looked_for_is_no_zero() {
    let mut open = arm(0, Row { looked_for: 0, at_least: 0, ..row(12, 0, 11, 1) });
    (open.rate, open.succeeded, open.looked_for) = (None, None, 0);
    assert_eq!(line(&open), "A: rooting not checked yet; 11 of 12 alive.");
    (open.looked_for, open.at_least, open.pending) = (6, 2, vec!["P2".to_owned()]);
    assert_eq!(
        line(&open),
        "A: not counted yet: P2; at least 2 rooted so far, in the pots with 6 stuck; 11 of 12 alive."
    );
    let seed = KindWords::of(Kind::Seed);
    open.looked_for = 0;
    assert!(arm_line(&open, &seed, Stage::Lift).contains("germination not checked"));
}

#[test]
fn lost_pieces_are_read_both_ways_only_where_that_matters() {
    let mut lost = arm(17, Row { lost: 1, ..row(24, 17, 0, 6) });
    assert!(line(&lost).ends_with("1 lost."), "{}", line(&lost));
    lost.without_lost = Some(RateRow::of(17, 23));
    assert!(line(&lost).ends_with("1 lost; without it 17 of 23 (74%)."));
    lost.lost = 2;
    assert!(line(&lost).contains("2 lost; without them"));
}

#[test]
fn groups_are_counted_and_never_ranked() {
    let group = |name: &str, count, of| Group { name: name.to_owned(), count, of, lost: 0 };
    assert_eq!(groups("By stock plant", &[], "rooted"), None);
    let both = [group("east", Some(1), 6), group("west", None, 6)];
    assert_eq!(
        groups("By stock plant", &both, "rooted").as_deref(),
        Some("By stock plant: east 1 of 6 rooted, west not all of 6 known")
    );
}

#[test]
fn suckers_are_told_with_the_looks() {
    let said = |looks, counts: [u32; 2]| {
        suckers(&Suckers {
            looks,
            removed: counts.iter().sum(),
            arms: vec![("whip".to_owned(), counts[0]), ("cleft".to_owned(), counts[1])],
        })
    };
    assert_eq!(said(0, [0, 0]), "Rootstock suckers: not checked yet");
    assert_eq!(said(1, [0, 1]), "Rootstock suckers removed: whip 0, cleft 1; 1 in all, in 1 check");
    assert_eq!(said(4, [3, 11]), "Rootstock suckers removed: whip 3, cleft 11; 14 in all, in 4 checks");
}

#[test]
fn long_lists_of_places_are_cut_and_counted() {
    let places = |n: usize| (1..=n).map(|at| format!("P{at}")).collect::<Vec<_>>();
    assert_eq!(named(&places(1)), "P1");
    assert_eq!(named(&places(8)), "P1, P2, P3, P4, P5, P6 and 2 more");
}
