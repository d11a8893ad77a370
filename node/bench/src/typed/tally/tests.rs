use super::*;
use crate::season::tests::two_arms;

#[test]
fn counts_marks_and_causes_are_read() {
    let trial = two_arms();
    let tally = read("P2:dead=1,cause=basal rot,yellow=some,new shoot=2,root-counts=3/0/5", &trial, None)
        .expect("reads");
    assert_eq!((tally.arm, tally.replicate.as_deref(), tally.dead), (1, Some("P2"), Some(1)));
    assert_eq!(tally.cause.as_deref(), Some("basal rot"));
    assert_eq!(tally.marks["yellow"], Mark::Some);
    assert_eq!(tally.marks["new_shoot"], Mark::Count(2));
    assert_eq!(tally.root_counts, [3, 0, 5]);
}

#[test]
fn every_count_is_read_under_its_word_and_named_where_a_word_is_not_known() {
    let trial = two_arms();
    let unknown = read("P1:xylem=1", &trial, None).expect_err("not a word");
    assert_eq!(unknown.how, Some(How::StatesAndMarks));
    for (index, (word, _)) in Tally::default().counts().into_iter().enumerate() {
        let tally = read(&format!("P1:{word}=3"), &trial, None).unwrap_or_else(|fault| panic!("{fault}"));
        let counted: Vec<usize> =
            (0..tally.counts().len()).filter(|at| tally.counts()[*at].1 == Some(3)).collect();
        assert_eq!(counted, [index], "{word}");
    }
}

#[test]
fn green_is_alive_without_roots() {
    let tally = read("p4: rooted=3, green=1", &two_arms(), Some(Stage::Lift)).expect("reads");
    assert_eq!((tally.rooted, tally.green, tally.alive), (Some(3), Some(1), None));
    let both = read("P4:alive=3,green=1", &two_arms(), Some(Stage::Lift)).expect("two have roots");
    assert_eq!((both.alive, both.green, both.rooted), (Some(3), Some(1), None));
}

#[test]
fn a_place_must_be_one_of_the_trial() {
    let trial = two_arms();
    let unknown = read("P9:dead=1", &trial, None).expect_err("no such pot");
    assert!(unknown.hints[0].contains("P1, P2, P3"), "{unknown:?}");
    let slip = read("powdr:dead=1", &trial, None).expect_err("no such arm");
    assert!(slip.hints[0].contains("did you mean powder"), "{slip:?}");
    let whole = read("powder:dead=1", &trial, None).expect_err("pot by pot");
    assert!(whole.hints[0].contains("P1, P2, P3"), "{whole:?}");
    let nowhere = read("dead=1", &trial, None).expect_err("two arms");
    assert!(nowhere.hints[0].contains("P1, P2, P3, P4, P5, P6"), "{nowhere:?}");
}

#[test]
fn slips_are_named() {
    let trial = two_arms();
    assert!(read("P1:ded=1", &trial, None).expect_err("a slip").hints[0].contains("dead"));
    assert!(read("P1:dead", &trial, None).is_err());
    assert!(read("P1:dead=-1", &trial, None).is_err());
    assert!(read("P1:dead=40 %", &trial, None).expect_err("a share").hints[0].contains("not per cent"));
    assert!(read("P1:", &trial, None).expect_err("nothing").why.contains("nothing is counted"));
}

#[test]
fn the_order_of_the_sheet_is_taken_line_by_line() {
    let trial = two_arms();
    let order: Vec<String> = ["P4", "P1", "P2"].map(str::to_owned).into();
    let lift = Some(Stage::Lift);
    let read = in_order("3/1, - 2/0/2", &order, &trial, lift).expect("reads");
    let tallies: Vec<Tally> =
        read.iter().filter_map(|typed| typed.settle(lift, &Standing::default()).expect("fits")).collect();
    assert_eq!(tallies.len(), 2);
    assert_eq!(
        (tallies[0].replicate.as_deref(), tallies[0].rooted, tallies[0].green),
        (Some("P4"), Some(3), Some(1))
    );
    assert_eq!((tallies[1].rooted, tallies[1].dead), (Some(2), Some(2)));
    let short = in_order("3 2", &order, &trial, lift).expect_err("a line is missing");
    assert!(short.why.contains("2 numbers for 3 lines") && short.hints[0].contains("P4, P1, P2"));
}
