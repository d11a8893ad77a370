//! The sentences about one trial, at the edges of their numbers.

use propagule_bench::kind::Kind;

use super::*;

#[test]
fn roots_are_scored_by_count_and_grade_never_by_a_mean_grade() {
    let said = |counts: &[u16], longest, grades: &[u16]| {
        scores(&KindWords::of(Kind::Cutting), counts, longest, grades, "ball-0-5")
    };
    assert_eq!(said(&[], None, &[]), "");
    assert_eq!(said(&[5], Some(40), &[]), "Roots per cutting: 5 (median 5); longest root 40 mm");
    assert_eq!(
        said(&[3, 0, 5, 8], None, &[1, 0, 2, 5]),
        "Roots per cutting: 3, 0, 5, 8 (median 4); grades: 1 of grade 0, 2 of grade 2, 5 of grade 3 (ball-0-5)"
    );
}
