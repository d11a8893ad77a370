//! The whole catalogue, at 0, 1 and n: its document, its words and how hard it is to read.

mod book;
mod kinds;

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use propagule_analysis::{Count, interval};
use propagule_bench::Stage;
use propagule_bench::kind::Kind;
use propagule_bench::locale::{Dialect, Locale};
use serde_json::{Value, json};

use super::comparing::{self, Sides};
use super::rates::{self, Rate};
use super::{p_value, planning, pooled, setup};
use crate::kind::{KindWords, Slots, dialect_words};
use crate::words::never_said::never_said;
use crate::words::read_aloud::{grade, longest_stretch, mean_stretch};
use book::BOOK;
use propagule_evidence::Outcome;

const DIALECTS: [(&str, Dialect); 3] = [("us", Dialect::Us), ("uk", Dialect::Uk), ("au", Dialect::Au)];

fn us(kind: Kind) -> KindWords {
    KindWords::read_as(kind, Locale::of(Dialect::Us))
}

/// Every sentence of the catalogue, for cuttings and grafts as read in the United States.
fn all() -> impl Iterator<Item = (&'static str, String)> {
    let kinds = [us(Kind::Cutting), us(Kind::Graft)];
    BOOK.iter().flat_map(move |(id, said)| {
        kinds.into_iter().flat_map(move |words| said(&words).into_iter().map(|text| (*id, text)))
    })
}

/// The names of all public functions of the catalogue that make a sentence.
fn functions() -> BTreeSet<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/words/sentences");
    let files = std::fs::read_dir(folder).expect("lists").flatten().map(|entry| entry.path());
    let files = files
        .filter(|path| path.is_file() && !["mod.rs", "tests.rs"].iter().any(|name| path.ends_with(name)));
    let mut names = BTreeSet::new();
    for file in files {
        let text = std::fs::read_to_string(&file).expect("a source");
        for line in text.split("\npub fn ").skip(1) {
            let takes_words = line.split(')').next().is_some_and(|head| head.contains("&KindWords"));
            let name = line.split(['(', '<']).next().unwrap_or_default();
            if takes_words {
                names.insert(name.to_owned());
            }
        }
    }
    names
}

#[test]
fn every_sentence_stands_in_the_book() {
    let told: BTreeSet<String> = BOOK.iter().map(|(id, _)| (*id).to_owned()).collect();
    let made = functions();
    let missing: Vec<_> = made.difference(&told).collect();
    let surplus: Vec<_> = told.difference(&made).collect();
    assert!(
        missing.is_empty() && surplus.is_empty(),
        "not in the book: {missing:?}; no function: {surplus:?}"
    );
}

#[test]
fn no_word_is_said_that_no_propagator_says() {
    let wrong: Vec<String> = all()
        .filter_map(|(id, text)| never_said(&text).map(|word| format!("{id}: {word:?} in {text}")))
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn percent_is_set_solid() {
    for (id, text) in all() {
        assert!(!text.contains(" %"), "{id}: {text}");
    }
}

#[test]
fn sentences_are_easy_to_read() {
    let mut wrong = Vec::new();
    let mut texts = BTreeSet::new();
    for (id, text) in all() {
        let longest = longest_stretch(&text);
        if longest > 25 {
            wrong.push(format!("{id}: {longest} words between stops: {text}"));
        }
        texts.insert(text);
    }
    let book = texts.into_iter().collect::<Vec<_>>().join(" ");
    let (grade, mean) = (grade(&book), mean_stretch(&book));
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(grade <= 8.0, "the book reads at grade {grade:.1}");
    assert!(mean <= 15.0, "{mean:.1} words between stops");
}

fn rate_of(count: u32, of: u32) -> Rate {
    let counted = Count { succeeded: count, started: of };
    let (lower, upper) = match count {
        0 => (0.0, interval::one_sided_upper(counted, 0.95)),
        all if all == of => (interval::one_sided_lower(counted, 0.95), 1.0),
        _ => interval::wilson(counted, 0.95),
    };
    Rate { count, of, lower, upper, stage: Stage::Lift }
}

/// Examples whose figures were computed for the sentence book: Wilson's interval, one-sided exact bounds, Fisher's test.
#[test]
fn figures_of_the_book_follow_from_their_counts() {
    let words = us(Kind::Cutting);
    assert_eq!(
        rates::rate(&words, "dip", rate_of(9, 12)),
        "dip: 9 of 12 rooted (75%; 95% interval 47\u{2013}91%)."
    );
    assert!(rates::rate(&words, "dip", rate_of(12, 12)).ends_with("as low as about 78%."));
    assert!(rates::rate(&words, "dip", rate_of(0, 60)).ends_with("as high as about 5%."));
    assert_eq!(
        rates::all_treatments(&words, rate_of(0, 54), 0),
        "All treatments: 0 of 54 rooted. The true rate could still be as high as about 5%."
    );
    assert_eq!(rates::lost(&words, 4, Some((6, 8))), "4 lost; without them 6 of 8 (75%)");
    assert_eq!(
        rates::finished_split(&words, 19, 30, (15, "sold"), (4, 6)),
        "19 of 30 finished (63%): 15 sold, and 4 of the 6 kept."
    );
    let upper = interval::one_sided_upper(Count { succeeded: 0, started: 97 }, 0.95);
    let none = pooled::none(&words, Outcome::Rooted, 97, upper);
    assert!(none.starts_with("0 of 97 rooted. The true rate could still be as high as about 3%"), "{none}");
    let lower = interval::one_sided_lower(Count { succeeded: 20, started: 20 }, 0.95);
    assert_eq!(
        pooled::all(&words, Outcome::Rooted, 20, lower),
        "All 20 rooted. The true rate could be as low as about 86%."
    );
    let wilson = interval::wilson(Count { succeeded: 6, started: 24 }, 0.95);
    assert!(
        pooled::one_grower(&words, Outcome::Rooted, (6, 24), wilson)
            .starts_with("6 of 24 rooted (25%; 95% interval 12\u{2013}45%), from one grower.")
    );
    let [if_none, half] = [0, 15].map(|count| rate_of(count, 30));
    assert_eq!(
        setup::batch_outlook(&words, 30, if_none.upper, [half.lower, half.upper]),
        "If none of 30 root, the true rate could still be as high as about 10%. If half do, it is somewhere from 33% to \
         67% (95% interval)."
    );
    let untried = planning::untried(&words, 30, 0.8, 1.0 - 0.2_f64.powf(1.0 / 30.0), if_none.upper);
    assert!(
        untried.contains("were about 5% or more. 0 of 30 would leave rates up to about 10% open."),
        "{untried}"
    );
}

/// Fisher's exact test, two-sided, of the counts of each example.
#[test]
fn chances_of_the_book_follow_from_their_counts() {
    let words = us(Kind::Cutting);
    let counted =
        |k1, n1, k2, n2| [Count { succeeded: k1, started: n1 }, Count { succeeded: k2, started: n2 }];
    let p = |counts: [Count; 2]| propagule_analysis::exact::fisher_two_sided(counts[0], counts[1]);
    let tell = |counts: [Count; 2]| Sides { labels: ["dip", "none"], counts: Some(counts), ok: "rooted" };
    let near = counted(9, 12, 6, 12);
    assert_eq!(p_value(p(near)), "p = 0.40");
    assert!(
        comparing::cannot_tell(&words, &tell(near), None, None).starts_with(
            "dip and none: 9 of 12 against 6 of 12 rooted. These counts cannot tell them apart."
        )
    );
    let far = counted(26, 40, 14, 40);
    assert_eq!(p_value(p(far)), "p = 0.013");
    assert_eq!(
        comparing::better(&words, &tell(far), true, Some("rooting hormone"), Some(p(far))),
        "dip did better than none: 26 of 40 rooted against 14 of 40. Only rooting hormone differed. If it made no \
         difference, a result this lopsided would turn up about 1 time in 100."
    );
    assert_eq!(p_value(p(counted(23, 36, 11, 36))), "p = 0.0089");
    assert_eq!(
        comparing::without_lost(&words, counted(9, 12, 6, 8)),
        "Without the lost cuttings: 9 of 12 against 6 of 8, both 75%."
    );
}

fn slots(words: &Slots) -> Value {
    json!({
        "unit": words.unit, "units": words.units, "start": words.start, "started": words.started,
        "starting": words.starting, "ok": words.ok, "lead": words.lead, "to_ok": words.to_ok, "oked": words.oked,
        "oking": words.oking, "green": words.green, "established": words.established,
        "counts": words.stages.iter().map(|stage| json!({ "name": stage.name, "ok": stage.ok })).collect::<Vec<_>>(),
    })
}

/// The catalogue as a document: each sentence at 0, 1 and n as far as it is printed there, and what each dialect says.
fn document() -> Value {
    let said = |kind: Kind| {
        move |(id, said): &(&str, fn(&KindWords) -> Vec<String>)| ((*id).to_owned(), json!(said(&us(kind))))
    };
    let sentences = |kind| BOOK.iter().map(said(kind)).collect::<BTreeMap<_, _>>();
    let (cuttings, grafts) = (sentences(Kind::Cutting), sentences(Kind::Graft));
    let kinds = |dialect: Dialect| {
        Kind::ALL
            .iter()
            .map(|kind| (kind.word(), slots(&Slots::of(*kind, dialect))))
            .collect::<BTreeMap<_, _>>()
    };
    let slots: BTreeMap<_, _> =
        DIALECTS.iter().map(|(name, dialect)| (*name, json!(kinds(*dialect)))).collect();
    let words =
        |place: usize| dialect_words().map(|(us, said)| (us, said[place])).collect::<BTreeMap<_, _>>();
    let words: BTreeMap<_, _> =
        DIALECTS.iter().enumerate().map(|(at, (name, _))| (*name, words(at))).collect();
    json!({
        "sentences": cuttings.iter().map(|(id, of_cuttings)| {
            let of_grafts = &grafts[id];
            let both = if of_grafts == of_cuttings { json!({ "said": of_cuttings }) } else {
                json!({ "cuttings": of_cuttings, "grafts": of_grafts })
            };
            (id.clone(), both)
        }).collect::<BTreeMap<_, _>>(),
        "slots": slots,
        "dialects": words,
    })
}

#[test]
fn the_document_is_the_catalogue() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../docs/words.json");
    let made = serde_json::to_string_pretty(&document()).expect("plain data") + "\n";
    if std::env::var_os("PROPAGULE_WRITE_DOCS").is_some() {
        std::fs::write(&path, &made).expect("the document is written");
    }
    let kept = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        kept == made,
        "node/docs/words.json is stale: PROPAGULE_WRITE_DOCS=1 cargo test -p propagule-present --lib sentences"
    );
}

#[test]
fn dialects_differ_in_words_alone() {
    for kind in Kind::ALL {
        let green: BTreeSet<&str> =
            DIALECTS.iter().map(|(_, dialect)| Slots::of(kind, *dialect).green).collect();
        assert_eq!(green.len(), 1, "{kind:?}");
    }
    let started: Vec<&str> =
        DIALECTS.iter().map(|(_, dialect)| Slots::of(Kind::Cutting, *dialect).started).collect();
    assert_eq!(started, ["stuck", "stuck", "struck"]);
    for (us, words) in dialect_words() {
        assert!(us == "tape cut" || us == "wean" || words[0] == us, "{us} is the US word");
    }
}

#[test]
fn days_stand_as_their_reader_writes_them() {
    use propagule_bench::dates::{Reading, read};
    let said = |text: &str, dialect| {
        let words = KindWords::read_as(Kind::Cutting, Locale::of(dialect));
        super::when(&words, &read(text, Reading::default()).expect("it is a day"))
    };
    let both = |text| (said(text, Dialect::Us), said(text, Dialect::Au));
    assert_eq!(both("2026-06-05"), ("Jun 5, 2026".into(), "5 Jun 2026".into()));
    assert_eq!(both("about 2026-06-06"), ("about Jun 6, 2026".into(), "about 6 Jun 2026".into()));
    assert_eq!(both("June 2026"), ("Jun 2026".into(), "Jun 2026".into()));
    assert_eq!(
        both("2026-06-01..2026-06-10"),
        ("Jun 1\u{2013}10, 2026".into(), "1\u{2013}10 Jun 2026".into())
    );
    assert_eq!(
        both("2026-05-28..2026-06-02"),
        ("May 28, 2026 to Jun 2, 2026".into(), "28 May 2026 to 2 Jun 2026".into())
    );
}
