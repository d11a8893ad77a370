//! The words of each kind, its counts and its marks.

use super::*;

#[test]
fn each_kind_says_its_own_words() {
    let said = |kind| {
        let words = KindWords::of(kind);
        (words.started, words.outcome(Stage::Lift), words.outcome_named(Stage::Lift), words.name(Stage::Lift))
    };
    assert_eq!(said(Kind::Cutting), ("stuck", "rooted", "rooted", "lift count"));
    assert_eq!(said(Kind::Graft), ("grafted", "took", "taken", "take count"));
    assert_eq!(said(Kind::Bud), ("budded", "took", "taken", "bud take count"));
    assert_eq!(said(Kind::Seed), ("sown", "germinated", "germinated", "germination count"));
    assert_eq!(said(Kind::Layer), ("layered", "rooted", "rooted", "lift count"));
    assert_eq!(said(Kind::Division), ("planted", "grew", "growing", "first count"));
    assert_eq!(said(Kind::Micropropagation), ("started", "rooted", "rooted", "rooting count"));
    assert_eq!(said(Kind::Mixed), ("started", "succeeded", "succeeded", "first count"));
}

#[test]
fn counts_take_the_noun_of_their_kind_and_none_where_kinds_are_mixed() {
    let said = |kind, count: u64| KindWords::of(kind).many(count);
    assert_eq!(said(Kind::Cutting, 0), "0 cuttings");
    assert_eq!(said(Kind::Graft, 1), "1 graft");
    assert_eq!(said(Kind::Seed, 1_410), "1,410 seeds");
    assert_eq!(said(Kind::Mixed, 7), "7");
}

/// Suckers, runners and offsets are no divisions, and nobody says so (words of the kinds in SPEC, table of codes: kind).
#[test]
fn divisions_are_called_what_they_are_where_all_of_a_trial_are_that() {
    let trial = |kinds: &[&str]| {
        let arm = |kind: &&str| propagule_bench::Arm {
            facets: [("kind".to_owned(), (*kind).to_owned())].into(),
            ..propagule_bench::Arm::default()
        };
        let on = propagule_bench::dates::When::day("2026-06-06".parse().expect("a day"));
        Trial { arms: kinds.iter().map(arm).collect(), ..Trial::empty("M1", "Musa acuminata", on) }
    };
    for kind in ["sucker", "runner", "offset", "division"] {
        let words = KindWords::of_trial(&trial(&[kind, kind]));
        assert_eq!(words.many(0_u32), format!("0 {kind}s"));
        assert_eq!(words.many(1_u32), format!("1 {kind}"));
        assert_eq!(words.many(6_u32), format!("6 {kind}s"));
    }
    assert_eq!(KindWords::of_trial(&trial(&["sucker", "offset"])).many(6_u32), "6 divisions");
    assert_eq!(KindWords::of_trial(&trial(&["graft", "graft"])).many(6_u32), "6 grafts");
}

#[test]
fn marks_are_said_and_typed_as_the_trade_says_them() {
    let said = |dialect| KindWords::of(Kind::Cutting).in_dialect_of(dialect).mark("mould");
    assert_eq!([Dialect::Us, Dialect::Uk, Dialect::Au].map(said), ["mold", "mould", "mould"]);
    assert_eq!(KindWords::of(Kind::Cutting).typed_mark("roots_at_hole"), "roots-showing");
}

#[test]
fn cuttings_are_struck_in_australia_and_new_zealand_alone() {
    let said = |kind, dialect| KindWords::of(kind).in_dialect_of(dialect).started;
    assert_eq!(said(Kind::Cutting, Dialect::Au), "struck");
    assert_eq!(said(Kind::Cutting, Dialect::Uk), "stuck");
    assert_eq!(said(Kind::Graft, Dialect::Au), "grafted");
}

#[test]
fn every_kind_ends_with_finished_plants() {
    assert!(Kind::ALL.iter().all(|kind| KindWords::of(*kind).outcome(Stage::Final) == "finished"));
}

#[test]
fn titles_have_no_article() {
    assert_eq!(KindWords::of(Kind::Seed).title(Stage::Lift), "Germination count");
    assert_eq!(KindWords::of(Kind::Cutting).title(Stage::Lift), "Lift count");
}

#[test]
fn a_trade_word_follows_the_dialect() {
    let said = |dialect| KindWords::of(Kind::Cutting).in_dialect_of(dialect).trade("stock plant");
    assert_eq!(
        [Dialect::Us, Dialect::Uk, Dialect::Au].map(said),
        ["stock plant", "stock plant", "mother plant"]
    );
    assert_eq!(in_dialect("bench", Dialect::Uk), "bench");
}
