use super::read_tally as read;
use super::*;
use crate::season::tests::two_arms;

fn hinted(fault: &Fault) -> &str {
    &fault.params["places"]
}

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
fn a_cause_in_quotes_is_kept_as_it_is_typed() {
    let tally = read("P2:dead=1,cause=\"vole, 2=mice: all\"", &two_arms(), None).expect("reads");
    assert_eq!(tally.cause.as_deref(), Some("vole, 2=mice: all"));
}

#[test]
fn a_label_may_hold_a_colon() {
    let mut trial = two_arms();
    trial.arms[0].label = "1:1 mix".to_owned();
    trial.arms[0].replicates.clear();
    let tally = read("1:1 mix:dead=1,cause=x:y", &trial, None).expect("reads");
    assert_eq!((tally.arm, tally.replicate, tally.dead), (1, None, Some(1)));
    assert_eq!(tally.cause.as_deref(), Some("x:y"));
}

#[test]
fn every_count_is_read_under_its_word_and_named_where_a_word_is_not_known() {
    let trial = two_arms();
    let unknown = read("P1:xylem=1", &trial, None).expect_err("not a word");
    assert_eq!((unknown.code.as_ref(), unknown.near.is_empty()), ("count-word-unknown", true));
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
    assert!(hinted(&unknown).starts_with("P1\nP2\nP3"), "{unknown:?}");
    let slip = read("powdr:dead=1", &trial, None).expect_err("no such arm");
    assert_eq!(slip.near, ["powder"], "{slip:?}");
    let whole = read("powder:dead=1", &trial, None).expect_err("pot by pot");
    assert_eq!((whole.code.as_ref(), whole.params["codes"].as_str()), ("arm-counted-by-pot", "P1, P2, P3"));
    let nowhere = read("dead=1", &trial, None).expect_err("two arms");
    assert_eq!(hinted(&nowhere), "P1\nP2\nP3\nP4\nP5\nP6", "{nowhere:?}");
}

#[test]
fn slips_are_named() {
    let trial = two_arms();
    let code = |text: &str| read(text, &trial, None).expect_err(text).code.clone();
    assert!(read("P1:ded=1", &trial, None).expect_err("a slip").near.contains(&"dead".to_owned()));
    assert_eq!(code("P1:dead"), "count-without-equals");
    assert_eq!(code("P1:dead=-1"), "count-not-a-number");
    assert_eq!(code("P1:dead=40 %"), "count-not-a-number");
    assert_eq!(code("P1:"), "count-empty");
}

#[test]
fn the_order_of_the_sheet_is_taken_line_by_line() {
    let trial = two_arms();
    let units = TrialUnits::of(&trial, ["P4", "P1", "P2"].map(str::to_owned).into());
    let lift = Some(Stage::Lift);
    let read = |text: &str| read_all(&[], Some(text), &units, lift);
    let tallies: Vec<Tally> = read("3/1, - 2/0/2")
        .expect("reads")
        .iter()
        .filter_map(|count| count.settle(lift, &Standing::default(), "it").expect("fits"))
        .collect();
    assert_eq!(tallies.len(), 2);
    assert_eq!(
        (tallies[0].replicate.as_deref(), tallies[0].rooted, tallies[0].green),
        (Some("P4"), Some(3), Some(1))
    );
    assert_eq!((tallies[1].rooted, tallies[1].dead), (Some(2), Some(2)));
    let short = read("3 2").expect_err("a line is missing");
    assert_eq!(
        ["came", "lines", "order", "kind", "stage"].map(|name| short.params[name].as_str()),
        ["2", "3", "P4, P1, P2", "cutting", "lift"]
    );
}

#[test]
fn cells_stand_in_the_order_of_the_tags_with_words_beside_them() {
    let units = TrialUnits::of(&two_arms(), Vec::new());
    let words = ["11r3 . = 8l2 4 4", "P4:cause=vole"].map(str::to_owned);
    let all = read_all(&words, None, &units, None).expect("reads");
    assert_eq!(all.len(), 6);
    assert_eq!((all[1].cell, all[2].cell), (Some(Cell::NotLooked), Some(Cell::AsBefore)));
    assert_eq!(all[3].tally.cause.as_deref(), Some("vole"));
    let short = read_all(&["11".to_owned()], None, &units, None).expect_err("six are needed");
    assert_eq!((short.code.as_ref(), short.params["came"].as_str()), ("row-of-other-length", "1"));
    let json = serde_json::to_value(&all).expect("plain data");
    assert_eq!(serde_json::from_value::<Vec<PlaceCount>>(json).expect("reads back"), all);
}
