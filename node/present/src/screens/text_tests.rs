//! Answers as text: no colour, no terminal needed, whole at 60 to 120 columns.

use crate::text;
use unicode_width::UnicodeWidthStr;

use super::pool::Around;
use propagule_answer::compare::{CompareAnswer, compare};
use propagule_answer::pool::{Beside, PoolAnswer, pool, pool_beside};
use propagule_answer::question::{CompareQuestion, Given, OwnTrial, PoolQuestion};
use propagule_evidence::fixtures::{evidence, row, with_facet};
use propagule_evidence::{Evidence, EvidenceRow};

/// A pooled answer in lines of at most `width` columns.
fn pool_text(answer: &PoolAnswer, width: usize) -> String {
    text::render(&super::pool(answer, &Around::default()).document(), width)
}

fn compare_text(answer: &CompareAnswer, width: usize) -> String {
    text::render(&super::compare(answer, None), width)
}

fn lines_fit(text: &str, width: usize) {
    for line in text.lines() {
        assert!(UnicodeWidthStr::width(line) <= width, "{width}: {line}");
        assert!(!line.ends_with(' ') && !line.contains('\u{1b}'), "{line}");
    }
}

fn several() -> PoolAnswer {
    let rows = vec![
        row("a", "1", "1", 20, 3),
        row("b", "1", "1", 24, 9),
        with_facet(row("b", "1", "2", 24, 0), "humidity", "mist"),
        with_facet(row("c", "1", "1", 12, 0), "wood", "hardwood"),
    ];
    let given = Given { data_until: Some("2026-11".to_owned()), ..Given::default() };
    let beside = Beside { given, ..Beside::default() };
    pool_beside(&evidence(rows), &beside, &PoolQuestion::about("Ostrava tarda")).expect("an answer")
}

#[test]
fn the_sentence_comes_first_then_a_bar_for_each_method() {
    let text = pool_text(&several(), 80);
    assert!(text.starts_with(
        "Ostrava tarda: rooted at the lift count\n\n3 methods; 12 of 80 rooted at the lift count"
    ));
    let is_bar = |line: &&str| line.starts_with("  ") && line.trim().chars().all(|c| "O=.-".contains(c));
    let bars = |mark: char| text.lines().filter(is_bar).filter(|line| line.contains(mark)).count();
    assert_eq!((bars('O'), bars('-')), (1, 2));
    assert!(text.contains("Results until 2026-11 (everybody)."));
    assert!(text.contains("never compared in one"));
}

#[test]
fn text_stays_within_its_width_and_narrower_wishes_are_raised() {
    for (wish, width) in [(20, 60), (60, 60), (80, 80), (120, 120), (400, 120)] {
        lines_fit(&pool_text(&several(), wish), width);
    }
    assert_eq!((text::usable_width(0), text::usable_width(1000)), (60, 120));
}

#[test]
fn one_method_is_said_once() {
    let answer =
        pool(&evidence(vec![row("a", "1", "1", 20, 3)]), &PoolQuestion::about("x y")).expect("an answer");
    let text = pool_text(&answer, 80);
    assert_eq!(text.split_whitespace().collect::<Vec<_>>().join(" ").matches("from one grower.").count(), 1);
    assert!(text.contains("3/20"));
}

#[test]
fn no_evidence_is_one_sentence_and_no_table() {
    let answer = pool(&Evidence::default(), &PoolQuestion::about("Cornus mas")).expect("an answer");
    let text = pool_text(&answer, 80);
    assert!(text.contains("Nobody has reported Cornus mas here yet"));
    assert!(!text.contains('='));
}

#[test]
fn a_comparison_shows_the_own_place_and_the_others() {
    let own = EvidenceRow { own: true, ..row("me", "1", "1", 20, 1) };
    let mut rows = vec![own];
    rows.extend((0..12).map(|n| row(&format!("grower {n}"), "1", "1", 30, 12)));
    let answer = compare(
        &evidence(rows),
        &OwnTrial::of("x y", "me/1"),
        &CompareQuestion::about("me/1"),
        &Given::default(),
    )
    .expect("a comparison");
    for width in [60, 120] {
        let text = compare_text(&answer, width);
        lines_fit(&text, width);
        assert!(text.contains("1 of your 20 rooted:"));
        assert!(text.contains("\n  ^\n") || text.lines().any(|line| line.trim() == "^"));
        assert!(text.contains("and 4 more"));
    }
}

#[test]
fn a_row_of_one_grower_or_of_none_rooted_shows_no_pooled_looking_rate() {
    let rows = vec![row("a", "1", "1", 42, 0), with_facet(row("b", "1", "1", 20, 3), "wood", "hardwood")];
    let answer = pool(&evidence(rows), &PoolQuestion::about("x y")).expect("an answer");
    let text = pool_text(&answer, 80);
    // 1 - 0.05^(1/42) = 6.9 %; Wilson 3/20: 5.2 to 36 %.
    assert!(text.contains("0/42   up to 6.9%"), "{text}");
    assert!(text.contains("3/20   15% (5.2\u{2013}36%)"), "{text}");
    assert!(!text.lines().any(|line| line.trim().starts_with('O') || line.contains('=')), "{text}");
}

#[test]
fn arms_are_told_apart_by_what_differs_and_the_same_others_are_named_once() {
    let own = |arm: &str, word: &str, rooted| {
        let row = EvidenceRow { own: true, ..row("me", "1", arm, 20, rooted) };
        with_facet(row, "auxin", word)
    };
    let mut rows = vec![own("1", "none", 1), own("2", "IBA quick dip 3000 mg/L", 5)];
    rows.extend((0..3).map(|n| row(&format!("grower {n}"), "1", "1", 30, 12)));
    let answer = compare(
        &evidence(rows),
        &OwnTrial::of("x y", "me/1"),
        &CompareQuestion::about("me/1"),
        &Given::default(),
    )
    .expect("a comparison");
    let text = compare_text(&answer, 80);
    assert!(text.contains("Treatment 1 (no rooting hormone), softwood stem cuttings, covered\n"), "{text}");
    assert_eq!(text.matches("grower 1").count(), 1, "{text}");
    assert!(text.contains("\nThe others\n  grower 0     12/30  climate not stated\n"), "{text}");
}
