//! The sentences about one trial, at the edges of their numbers.

use super::*;

fn differing(facets: &[&str], others: &[&'static str]) -> Difference {
    let words = |what: &&str| ((*what).to_owned(), "a".to_owned(), "b".to_owned());
    Difference {
        facets: facets.iter().map(words).collect(),
        others: others.iter().map(|what| (*what, "a".to_owned(), "b".to_owned())).collect(),
        is_single: false,
    }
}

#[test]
fn chances_have_their_article_and_bar() {
    let row = power_row(12, 0.2, 0.8, 0.81);
    assert_eq!(row, "20 against 80 %  ################....  12 against 12 have an 81 % chance of showing it");
    assert!(power_row(12, 0.5, 0.75, 0.14).ends_with("have only a 14 % chance of showing it"));
    assert!(power_row(12, 0.5, 0.75, 0.0).contains("...................."));
}

#[test]
fn chances_that_allow_for_pots_lead() {
    assert_eq!(
        power_with_pots_row(3, 4, (0.2, 0.8), 0.69, 0.81),
        "20 against 80 %  ##############......  3 pots of 4 an arm have a 69 % chance of showing it, 81 % if pieces did not share pots"
    );
    assert!(power_with_pots_sentence(3, 4, (0.5, 0.75), 0.1, 0.14).contains("have only a 10 % chance"));
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

#[test]
fn what_a_modest_difference_takes_is_said_in_pots_first() {
    let said = |in_pots| needed_pieces((0.5, 0.75), 64, in_pots);
    assert_eq!(said(None), "To tell 50 from 75 % with a chance of 80 %, put in 64 pieces an arm.");
    assert!(
        said(Some((Some(20), 4)))
            .ends_with("put in 20 pots of 4 an arm (64 pieces would do if pots never differed).")
    );
    assert!(said(Some((None, 60))).contains("far more pots of 60 an arm"));
}
