//! What is said of one kind is not said of another, whatever the sentence, the count and the dialect.

use std::collections::BTreeSet;

use propagule_bench::Stage;
use propagule_bench::kind::Kind;
use propagule_bench::locale::Locale;

use super::DIALECTS;
use super::book::BOOK;
use crate::kind::KindWords;

/// Words of one kind that a grower of another kind does not say of it.
fn words_of_other_kinds(own: &KindWords) -> BTreeSet<&'static str> {
    let of = |words: &KindWords| {
        let stages = [Stage::Lift, Stage::Season, Stage::Spring].map(|stage| words.outcome(stage));
        let slots =
            [words.unit, words.units, words.started, words.starting, words.ok, words.oked, words.to_ok];
        slots.into_iter().chain(stages).filter(|word| !word.is_empty()).collect::<BTreeSet<_>>()
    };
    let ours = of(own);
    let others = Kind::ALL.into_iter().flat_map(|kind| of(&KindWords::read_as(kind, own.locale)));
    // Words of everyday English, and those of all kinds together.
    let plain = [
        "bud", "layer", "grow", "grown", "grew", "take", "took", "taken", "sound", "planted", "started",
        "starting",
    ];
    others.filter(|word| !ours.contains(word) && !plain.contains(word)).collect()
}

#[test]
fn no_sentence_says_of_one_kind_what_is_said_of_another() {
    // What only some kinds have: tape, unions, roots. And what is given the outcome in words, by who knows it.
    let of_some = ["suckers", "tape_cut", "due_tape", "union", "root_scores"];
    let given = ["fixed", "stick", "stick_impossible", "several_plans"];
    let mut wrong = BTreeSet::new();
    for kind in Kind::ALL.into_iter().filter(|kind| *kind != Kind::Mixed) {
        for (_, dialect) in DIALECTS {
            let words = KindWords::read_as(kind, Locale::of(dialect));
            let others = words_of_other_kinds(&words);
            for (id, said) in BOOK.iter().filter(|(id, _)| !of_some.contains(id) && !given.contains(id)) {
                for text in said(&words) {
                    let bare = text.split(|c: char| !c.is_alphanumeric());
                    let found: Vec<&str> = bare.filter(|word| others.contains(word)).collect();
                    if !found.is_empty() {
                        wrong.insert(format!("{id}, {kind:?}: {found:?} in {text}"));
                    }
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.into_iter().collect::<Vec<_>>().join("\n"));
}

/// Nouns at 0, 1 and n; and what is looked for is a noun as well.
#[test]
fn each_kind_counts_its_own_at_none_one_and_more_in_every_dialect() {
    for kind in Kind::ALL {
        for (_, dialect) in DIALECTS {
            let words = KindWords::read_as(kind, Locale::of(dialect));
            let said = [0_u32, 1, 2].map(|count| words.many(count));
            match words.unit {
                "" => assert_eq!(said, ["0", "1", "2"]),
                unit => assert_eq!(said, [format!("0 {unit}s"), format!("1 {unit}"), format!("2 {unit}s")]),
            }
            let looked = words.not_looked_for();
            let noun = looked.trim_end_matches(" not checked yet");
            assert!(
                ["rooting", "take", "germination", "growth", "success"].contains(&noun),
                "{kind:?}: {noun}"
            );
        }
    }
}

/// A day behind a verb, however it is known and in both orders.
#[test]
fn a_day_takes_its_preposition() {
    for (date, said) in [
        ("Jun 6, 2026", "on Jun 6, 2026"),
        ("6 Jun 2026", "on 6 Jun 2026"),
        ("about 6 Jun 2026", "about 6 Jun 2026"),
        ("about Jun 2026", "about Jun 2026"),
        ("Jun 2026", "in Jun 2026"),
        ("Jun 2026, number estimated", "in Jun 2026, number estimated"),
        ("Jun 1\u{2013}10, 2026", "on Jun 1\u{2013}10, 2026"),
    ] {
        assert_eq!(super::super::on(date), said);
    }
}
