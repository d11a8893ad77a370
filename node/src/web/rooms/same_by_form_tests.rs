//! What is entered by a form of the page and by a command is the same entry, whatever its words hold.

use std::collections::BTreeMap;
use std::sync::Arc;

use proptest::prelude::*;
use serde_json::Value;

use super::tests::Grower;
use crate::cli::requested::requested;
use propagule_app as app;
use propagule_app::{BenchRequest, Reply, Request};
use propagule_bench::typed::tally::{MARKS, quoted};

/// Pieces of each arm.
const PIECES: u16 = 20;

/// A season of entries with words that somebody could type.
#[derive(Clone, Debug)]
struct Season {
    labels: [String; 2],
    check: Checked,
    lift: [Lifted; 2],
    corrected: String,
    note: String,
    left: (u16, &'static str, bool),
}

/// A check of the first arm.
#[derive(Clone, Debug)]
struct Checked {
    alive: u16,
    cause: Option<String>,
    marks: BTreeMap<&'static str, String>,
    note: Option<String>,
}

/// A lift of an arm, of those that are left.
#[derive(Clone, Debug)]
struct Lifted {
    dead: u16,
    lost: u16,
    cause: Option<String>,
}

/// Any words, as a field and an argument keep them alike: without spaces at the ends.
fn words() -> impl Strategy<Value = String> {
    let text = "[ -~\u{e4}\u{df}\u{2013}\u{202e}\u{1f331}]{1,30}";
    let trimmed = text.prop_map(|text| text.trim().to_owned());
    let hostile = prop::sample::select(vec![
        "vole, 2=mice",
        "=\"; drop",
        "\"quoted\", all",
        "P1:dead=9",
        "a,,b;c:d",
        "\\",
        "--yes",
        "'",
        "100 %",
    ]);
    prop_oneof![trimmed, hostile.prop_map(str::to_owned)].prop_filter("words", |text| !text.is_empty())
}

/// Labels that the form of a new trial takes.
fn labels() -> impl Strategy<Value = [String; 2]> {
    let label = || "[a-zA-Z0-9'\"<>&./ \u{df}]{1,12}".prop_map(|text| text.trim().to_owned());
    (label(), label()).prop_map(|(one, other)| [one, other]).prop_filter("two labels", |[one, other]| {
        !one.is_empty() && !other.is_empty() && !one.eq_ignore_ascii_case(other)
    })
}

fn checked() -> impl Strategy<Value = Checked> {
    let mark = prop_oneof![
        Just("none".to_owned()),
        Just("some".to_owned()),
        Just("most".to_owned()),
        (0..=5_u16).prop_map(|count| count.to_string())
    ];
    let marks = prop::collection::btree_map(prop::sample::select(MARKS.to_vec()), mark, 0..3);
    (10..=PIECES, prop::option::of(words()), marks, prop::option::of(words()))
        .prop_map(|(alive, cause, marks, note)| Checked { alive, cause, marks, note })
}

fn lifted() -> impl Strategy<Value = Lifted> {
    (0..=4_u16, 0..=4_u16, prop::option::of(words())).prop_map(|(dead, lost, cause)| Lifted {
        dead,
        lost,
        cause,
    })
}

fn season() -> impl Strategy<Value = Season> {
    let how = prop::sample::select(vec!["sold", "given", "planted out"]);
    let left = (1..=3_u16, how, any::<bool>());
    (labels(), checked(), [lifted(), lifted()], words(), words(), left).prop_map(
        |(labels, check, lift, corrected, note, left)| Season { labels, check, lift, corrected, note, left },
    )
}

/// Somebody at the page, or at the command line, each with a home of the same trial.
struct Bench(Grower);

impl Bench {
    async fn new(labels: &[String; 2]) -> Self {
        let grower = Grower::new();
        let pieces = PIECES.to_string();
        let fields = [
            ("code", "T1"),
            ("species", "Morus nigra"),
            ("kind", "stem cutting"),
            ("compared", "auxin"),
            ("label-1", labels[0].as_str()),
            ("auxin-1", "IBA 3000 mg/L quick dip"),
            ("label-2", labels[1].as_str()),
            ("auxin-2", "none"),
            ("pieces", pieces.as_str()),
            ("on", "2026-06-06"),
        ];
        grower.saved("/bench/new", &fields).await;
        grower.saved("/bench/trial/T1/stick", &[("on", "2026-06-06")]).await;
        Self(grower)
    }

    async fn send(&self, path: &str, fields: &[(&str, &str)]) {
        self.0.saved(path, fields).await;
    }

    async fn command(&self, words: &[String]) {
        let app = &self.0.stage.web.app;
        let words: Vec<String> =
            std::iter::once("propagule".to_owned()).chain(words.iter().cloned()).collect();
        let request = requested(app, &words).await.unwrap_or_else(|fault| panic!("{words:?}: {fault}"));
        let done = app::handle(Arc::clone(app), Request::Bench(Box::new(request))).await;
        done.unwrap_or_else(|fault| panic!("{words:?}: {fault}"));
    }

    /// Every entry as it stands, and as it stood before.
    async fn journal(&self) -> Value {
        let request = Request::Bench(Box::new(BenchRequest::History { trial: "T1".to_owned() }));
        match app::handle(Arc::clone(&self.0.stage.web.app), request).await.expect("a history") {
            Reply::Done(outcome) => serde_json::to_value(outcome).expect("plain data")["entries"].clone(),
            _ => panic!("no history"),
        }
    }
}

/// Pieces of an arm that are there at the lift.
fn at_the_lift(season: &Season, arm: usize) -> u16 {
    if arm == 0 { season.check.alive } else { PIECES }
}

async fn by_form(bench: &Bench, season: &Season) {
    let Season { labels, check, lift, corrected, note, left } = season;
    let marks: Vec<String> = check.marks.iter().map(|(mark, value)| format!("{mark}={value}")).collect();
    let (alive, marks) = (check.alive.to_string(), marks.join(", "));
    let text = |words: &Option<String>| words.clone().unwrap_or_default();
    let (cause, said) = (text(&check.cause), text(&check.note));
    let fields = [
        ("place", labels[0].as_str()),
        ("alive", &alive),
        ("cause", &cause),
        ("more", &marks),
        ("note", &said),
        ("on", "2026-07-04"),
        ("sure", "yes"),
    ];
    bench.send("/bench/trial/T1/count/check", &fields).await;
    let mut fields = vec![("on".to_owned(), "2026-08-03".to_owned())];
    for (arm, label) in labels.iter().enumerate() {
        let Lifted { dead, lost, ref cause } = lift[arm];
        let rooted = at_the_lift(season, arm) - dead - lost;
        for (name, count) in [("rooted", rooted), ("green", 0), ("dead", dead), ("lost", lost)] {
            fields.push((format!("{label}/{name}"), count.to_string()));
        }
        fields.push((format!("{label}/cause"), text(cause)));
    }
    let fields: Vec<(&str, &str)> =
        fields.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    bench.send("/bench/trial/T1/sheet/lift", &fields).await;
    let mut fields = vec![("what".to_owned(), "correct".to_owned())];
    for (arm, label) in labels.iter().enumerate() {
        let Lifted { dead, lost, ref cause } = lift[arm];
        let rooted = at_the_lift(season, arm) - dead - lost;
        for (name, count) in [("rooted", rooted), ("green", 0), ("dead", dead), ("lost", lost)] {
            fields.push((format!("{label}/{name}"), count.to_string()));
        }
        let cause = if arm == 1 { corrected.clone() } else { text(cause) };
        fields.push((format!("{label}/cause"), cause));
    }
    let fields: Vec<(&str, &str)> =
        fields.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    let number = bench.journal().await[1]["entry"].to_string();
    bench.send(&format!("/bench/trial/T1/entry/{number}"), &fields).await;
    bench.send("/bench/trial/T1/note", &[("note", note.as_str()), ("on", "2026-08-04")]).await;
    let (pieces, how, at_grade) = left;
    let pieces = pieces.to_string();
    let fields = [
        ("what", "left"),
        ("place", labels[0].as_str()),
        ("pieces", pieces.as_str()),
        ("how", how),
        ("grade", if *at_grade { "yes" } else { "no" }),
        ("on", "2026-08-05"),
    ];
    bench.send("/bench/trial/T1/move", &fields).await;
}

/// `LABEL:what=how many,…,cause=…`.
fn typed(label: &str, counts: &[String], cause: Option<&String>) -> String {
    let cause = cause.map(|cause| format!("cause={}", quoted(cause)));
    let all: Vec<String> = counts.iter().cloned().chain(cause).collect();
    format!("{label}:{}", all.join(","))
}

async fn by_command(bench: &Bench, season: &Season) {
    let Season { labels, check, lift, corrected, note, left } = season;
    let owned = |words: &[&str]| words.iter().map(|word| (*word).to_owned()).collect::<Vec<_>>();
    let mut counts = vec![format!("alive={}", check.alive)];
    counts.extend(check.marks.iter().map(|(mark, value)| format!("{mark}={value}")));
    let mut words = owned(&["check", "T1"]);
    words.push(typed(&labels[0], &counts, check.cause.as_ref()));
    words.extend(check.note.iter().map(|note| format!("--note={note}")));
    words.extend(owned(&["--on", "2026-07-04", "--yes"]));
    bench.command(&words).await;
    let lifted = |arm: usize, cause: Option<&String>| {
        let Lifted { dead, lost, .. } = lift[arm];
        let rooted = at_the_lift(season, arm) - dead - lost;
        let counts = [("rooted", rooted), ("green", 0), ("dead", dead), ("lost", lost)];
        typed(&labels[arm], &counts.map(|(name, count)| format!("{name}={count}")), cause)
    };
    let mut words = owned(&["lift", "T1"]);
    words.extend((0..2).map(|arm| lifted(arm, lift[arm].cause.as_ref())));
    words.extend(owned(&["--on", "2026-08-03"]));
    bench.command(&words).await;
    if lift[1].cause.as_ref() != Some(corrected) {
        bench.command(&[owned(&["fix", "T1", "last"]), vec![lifted(1, Some(corrected))]].concat()).await;
    }
    let mut words = owned(&["note", "T1"]);
    words.extend([format!("--note={note}"), "--on=2026-08-04".to_owned()]);
    bench.command(&words).await;
    let (pieces, how, at_grade) = left;
    let mut words = owned(&["move", "T1"]);
    words.extend([labels[0].clone(), format!("--{}={pieces}", how.replace(' ', "-"))]);
    words.extend((!at_grade).then(|| "--below-grade".to_owned()));
    words.push("--on=2026-08-05".to_owned());
    bench.command(&words).await;
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn an_entry_is_the_same_by_form_and_by_command(season in season()) {
        prop_assume!(season.lift[1].cause.as_ref() != Some(&season.corrected));
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().expect("a runtime");
        let (form, command) = runtime.block_on(async {
            let (form, command) = (Bench::new(&season.labels).await, Bench::new(&season.labels).await);
            by_form(&form, &season).await;
            by_command(&command, &season).await;
            (form.journal().await, command.journal().await)
        });
        prop_assert!(form.as_array().is_some_and(|entries| entries.len() >= 4), "{form}");
        prop_assert_eq!(form, command);
    }
}
