//! The sentences about one trial, at the edges of their numbers.

use propagule_analysis::Count;

use super::*;

fn arm(label: &str, succeeded: u32, started: u32, lost: u32) -> ArmResult {
    ArmResult {
        arm: 1,
        label: label.to_owned(),
        on: crate::paper::dates::When::day("2026-08-29".parse().expect("a day")),
        row: crate::bench::Row::default(),
        started,
        succeeded,
        lost,
        waiting: None,
        left: 0,
        kept: 0,
        replicates: vec![Count { succeeded, started }],
    }
}

fn differing(facets: &[&str], others: &[&'static str]) -> Difference {
    let words = |what: &&str| ((*what).to_owned(), "a".to_owned(), "b".to_owned());
    Difference {
        facets: facets.iter().map(words).collect(),
        others: others.iter().map(|what| (*what, "a".to_owned(), "b".to_owned())).collect(),
        is_single: false,
    }
}

fn pair(first: ArmResult, second: ArmResult, difference: Difference, verdict: Verdict) -> Comparison {
    Comparison { first, second, difference, verdict, as_if_independent: 0.4 }
}

fn tested(p: f64, holm: f64) -> Verdict {
    Verdict::Tested { p, holm, pots_differ: false }
}

#[test]
fn no_verdict_where_pots_or_people_explain_it_as_well() {
    let single =
        pair(arm("B", 0, 15, 0), arm("C", 0, 13, 0), differing(&["leaves"], &[]), Verdict::OnePotEach);
    assert_eq!(
        comparison(&single, "rooted"),
        "B and C (leaves only): 0 of 15 against 0 of 13 rooted; no verdict: one pot each: a difference between pots \
         would look the same."
    );
    let difference = differing(&["cultivar"], &["operator"]);
    assert!(difference.has_confound() && difference.sole().is_none());
    let both = pair(arm("A", 17, 24, 0), arm("B", 9, 24, 0), difference, Verdict::CannotSeparate);
    assert!(comparison(&both, "taken").contains("no verdict: cultivar and operator cannot be separated"));
}

#[test]
fn a_verdict_names_its_cause_only_when_there_is_one() {
    let clear = tested(0.001, 0.002);
    let sole = pair(arm("A", 33, 60, 0), arm("B", 2, 60, 0), differing(&["auxin"], &[]), clear.clone());
    assert!(
        comparison(&sole, "rooted")
            .contains("A likely better for auxin (p 0.001, 0.002 after Holm's correction)")
    );
    let several = pair(arm("A", 2, 60, 0), arm("B", 33, 60, 0), differing(&["auxin", "medium"], &[]), clear);
    let said = comparison(&several, "rooted");
    assert!(
        said.contains("B differ, but not by one cause") && said.contains("auxin and medium together"),
        "{said}"
    );
    let open = pair(arm("A", 9, 12, 0), arm("B", 6, 12, 0), differing(&["auxin"], &[]), tested(0.4, 0.4));
    assert!(comparison(&open, "rooted").contains("cannot be told apart (p 0.40)"));
    let pots = Verdict::Tested { p: 0.01, holm: 0.01, pots_differ: true };
    let uneven = pair(arm("A", 9, 12, 0), arm("B", 1, 12, 0), differing(&["auxin"], &[]), pots);
    assert!(comparison(&uneven, "rooted").contains("pots of one arm differ more than chance"));
    let nothing =
        pair(arm("A", 0, 12, 0), arm("B", 0, 12, 0), differing(&["auxin"], &[]), Verdict::NothingToSee);
    assert!(comparison(&nothing, "rooted").contains("no difference could be seen (p 1)"));
}

#[test]
fn lost_pieces_are_read_both_ways_when_that_changes_something() {
    let flips = pair(arm("A", 9, 12, 0), arm("B", 6, 12, 4), differing(&["auxin"], &[]), tested(0.4, 0.4));
    assert!(
        comparison(&flips, "rooted").ends_with("Without the lost ones 9 of 12 against 6 of 8, both 75 %.")
    );
    let same = pair(arm("A", 90, 120, 0), arm("B", 60, 120, 1), differing(&["auxin"], &[]), tested(0.0, 0.0));
    assert!(!comparison(&same, "rooted").contains("Without"));
}

#[test]
fn chances_have_their_article_and_bar() {
    let row = power_row(12, 0.2, 0.8, 0.81);
    assert_eq!(row, "20 against 80 %  ################....  12 against 12 have an 81 % chance of showing it");
    assert!(power_row(12, 0.5, 0.75, 0.14).ends_with("have only a 14 % chance of showing it"));
    assert!(power_row(12, 0.5, 0.75, 0.0).contains("...................."));
}

#[test]
fn roots_are_scored_by_count_and_grade_never_by_a_mean_grade() {
    assert_eq!(scores(&[], None, &[], "ball-0-5"), "");
    assert_eq!(scores(&[5], Some(40), &[], "ball-0-5"), "roots of 1 piece: 5 (median 5); longest root 40 mm");
    assert_eq!(
        scores(&[3, 0, 5, 8], None, &[1, 0, 2, 5], "ball-0-5"),
        "roots of 4 pieces: 3, 0, 5, 8 (median 4); 1 of grade 0, 2 of grade 2, 5 of grade 3 (ball-0-5)"
    );
}

#[test]
fn differences_are_listed_in_words() {
    assert_eq!(differs("A", "B", &differing(&["leaves"], &[])), "A and B: leaves only");
    assert_eq!(differs("A", "B", &differing(&[], &[])), "A and B: nothing that is written down differs");
    assert_eq!(
        differs("A", "B", &differing(&["humidity", "medium"], &["spot"])),
        "A and B: humidity, medium and spot together: these cannot be separated"
    );
    assert!(single_pots(&["A"], 3).starts_with("  Arm A stands in a single pot"));
    assert!(single_pots(&["A", "B"], 12).contains("--pots 3 --pieces 4"));
}
