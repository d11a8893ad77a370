//! The sentences about one trial, at the edges of their numbers.

use propagule_bench::compared::Difference;

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
    let differs = |first, second, difference: &Difference| {
        differs(first, second, &difference.names(), difference.sole())
    };
    assert_eq!(differs("A", "B", &differing(&["leaves"], &[])), "A and B: leaves only");
    assert_eq!(differs("A", "B", &differing(&[], &[])), "A and B: nothing that is written down differs");
    assert_eq!(
        differs("A", "B", &differing(&["humidity", "medium"], &["spot"])),
        "A and B: humidity, medium and spot together: these cannot be separated"
    );
}
